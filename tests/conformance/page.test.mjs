// The page and the tiles as a browser, a screen reader's rules and rude visitors find them.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { createRequire } from 'node:module';
import { connect } from 'node:net';
import { mkdirSync } from 'node:fs';
import { chromium } from 'playwright-core';
import { Kitchen, comesTrue, sleep, readFileSync, join } from './kitchen.mjs';

const require = createRequire(import.meta.url);
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const pictures = process.env.WHEYMARK_PICTURES;  // where screenshots are left for people to look at

let kitchen;
let browser;
const complaints = [];

before(async () => {
  kitchen = await Kitchen.opened({}, { web: true });
  await kitchen.start('2027-03-01T08:00:00Z');
  await kitchen.pass(0.5, 21.5);
  await kitchen.tell({ fact: 'start', jar: 'blue' });
  await kitchen.tell({ fact: 'start', jar: 'crock' });
  await kitchen.pass(4, 21.5);
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
                                    args: ['--no-sandbox'] });
  await comesTrue(async () => (await (await fetch(kitchen.url)).text()).includes('Strain about'), 'the page');
});
after(async () => {
  await browser?.close();
  await kitchen?.close();
});

async function opened(path = '/', { width = 1100, height = 800, dark = false, script = true, base = kitchen.url } = {}) {
  const page = await browser.newPage({ viewport: { width, height }, javaScriptEnabled: script,
                                       colorScheme: dark ? 'dark' : 'light' });
  page.on('console', (message) => complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(String(error)));
  await page.goto(base + path);
  return page;
}
async function picture(page, name) {
  if (!pictures) return;
  mkdirSync(pictures, { recursive: true });
  await page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
}

const raw = (text, wait = 3000) => new Promise((resolve) => {
  const socket = connect(kitchen.webPort, '127.0.0.1');
  let answer = '';
  socket.on('data', (data) => { answer += data; });
  socket.on('close', () => resolve(answer));
  socket.on('error', () => resolve(answer));
  socket.setTimeout(wait, () => socket.destroy());
  socket.write(text);
});

test('the page and its parts come with their type, an etag and a policy', async () => {
  for (const [path, type] of [['/', 'text/html; charset=utf-8'], ['/page.css', 'text/css; charset=utf-8'],
    ['/page.js', 'text/javascript; charset=utf-8'], ['/tile/jar-blue.svg', 'image/svg+xml']]) {
    const answer = await fetch(kitchen.url + path);
    assert.equal(answer.status, 200, path);
    assert.equal(answer.headers.get('content-type'), type);
    assert.equal(answer.headers.get('cache-control'), 'no-cache');
    assert.equal(answer.headers.get('x-content-type-options'), 'nosniff');
    assert.match(answer.headers.get('content-security-policy'), /^default-src 'none'; /);
    const etag = answer.headers.get('etag');
    assert.match(etag, /^"[0-9a-f]{16}"$/);
    const again = await fetch(kitchen.url + path, { headers: { 'If-None-Match': etag } });
    assert.equal(again.status, 304);
    const head = await fetch(kitchen.url + path, { method: 'HEAD' });
    assert.equal(head.status, 200);
    assert.equal(await head.text(), '');
  }
});

test('it is for looking only, and there is nothing outside of it', async () => {
  for (const method of ['POST', 'PUT', 'DELETE', 'PATCH', 'OPTIONS']) {
    const answer = await fetch(kitchen.url, { method });
    assert.equal(answer.status, 405, method);
    assert.equal(answer.headers.get('allow'), 'GET, HEAD');
  }
  for (const path of ['/../../etc/passwd', '/tile/../../household.json', '/%2e%2e/%2e%2e/etc/passwd',
    '/tile/jar-blue.svg/../../x', '//etc/passwd', '/tile/jar-nobody.svg', '/tile/', '/paths%00', '/wheymark.db']) {
    assert.match(await raw(`GET ${path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n`), /^HTTP\/1\.1 (404|400)/, path);
  }
  assert.match(await raw('nonsense\r\n\r\n'), /^(HTTP\/1\.1 400.*)?/);
  assert.match(await raw(`GET /${'a'.repeat(20000)} HTTP/1.1\r\n\r\n`), /^(HTTP\/1\.1 4\d\d.*)?/);
  assert.equal((await fetch(kitchen.url)).status, 200);
});

for (const [name, options] of [['wide', {}], ['phone, at night', { width: 390, height: 844, dark: true }],
  ['without a script', { script: false }]]) {
  test(`the page shows every jar: ${name}`, async () => {
    const page = await opened('/', options);
    await comesTrue(() => page.locator('[data-jar]').count().then((n) => n === 3), 'three tiles');
    for (const img of await page.locator('[data-jar] img').all()) {
      await comesTrue(() => img.evaluate((i) => i.complete && i.naturalWidth > 0), 'a picture');
      assert.ok((await img.boundingBox()).width <= (options.width ?? 1100));
    }
    assert.match(await page.locator('[data-jar=blue] img').getAttribute('alt'), /Blue jar: Working\. Strain about /);
    assert.match(await page.locator('[data-jar=crock] img').getAttribute('alt'), /<crock> & "lid"/);
    const overflow = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth).catch(() => 0);
    assert.ok(overflow <= 0, `${overflow} px too wide`);
    await picture(page, `page-${name.replace(/\W+/g, '-')}`);
    await page.close();
  });
}

for (const dark of [false, true]) {
  test(`axe finds nothing to complain of, ${dark ? 'dark' : 'light'}`, async () => {
    for (const path of ['/', '/tile/jar-blue.svg']) {
      const context = await browser.newContext({ colorScheme: dark ? 'dark' : 'light', bypassCSP: true });
      const page = await context.newPage();
      await page.goto(kitchen.url);
      if (path !== '/') {  // a picture by itself, as a hub would lay it into its own page
        const svg = await (await fetch(kitchen.url + path)).text();
        await page.setContent(`<!DOCTYPE html><html lang="en"><title>t</title><main><h1>t</h1>${svg}</main>`);
      }
      await page.evaluate(axe);
      const { violations, passes } = await page.evaluate(() => window.axe.run());
      assert.deepEqual(violations.map((v) => [v.id, v.nodes.map((n) => n.html)]), []);
      assert.ok(passes.length > 5);
      await context.close();
    }
  });
}

test('a tile is the same picture at 200 and at 600 pixels, by day and by night', async () => {
  for (const dark of [false, true]) {
    for (const size of [200, 600]) {
      const page = await opened('/tile/jar-blue.svg', { width: size, height: size, dark });
      const box = await page.locator('svg').boundingBox();
      assert.equal(Math.round(box.width), size);
      // Every line of text lies within the picture, in whatever font this machine has.
      const outside = await page.evaluate(() => [...document.querySelectorAll('text')]
        .filter((t) => { const b = t.getBBox(); return b.x < 0 || b.x + b.width > 300 || b.y + b.height > 302; })
        .map((t) => t.textContent));
      assert.deepEqual(outside, []);
      const smallest = await page.evaluate(() => Math.min(...[...document.querySelectorAll('text')]
        .map((t) => t.getBoundingClientRect().height)));
      assert.ok(smallest >= 10, `the smallest text is ${smallest} px high at ${size}`);
      if (pictures) {
        await page.goto('about:blank');
        const svg = Buffer.from(await (await fetch(`${kitchen.url}/tile/jar-blue.svg`)).text()).toString('base64');
        await page.setContent(`<body style="margin:0"><img src="data:image/svg+xml;base64,${svg}" width="${size}">`);
        await sleep(200);
        await picture(page, `tile-${size}${dark ? '-night' : ''}`);
      }
      await page.close();
    }
  }
});

test('the tile on MQTT is the tile on the page', async () => {
  const svg = kitchen.retained.get('wheymark/tile/jar-blue');
  assert.ok(svg.startsWith('<svg '));
  const words = (picture) => picture.match(/<title.*<\/title>|font-size="38.0".*?<\/text>/g);
  const served = await (await fetch(`${kitchen.url}/tile/jar-blue.svg`)).text();
  assert.deepEqual(words(served), words(svg));
  assert.equal(words(svg).length, 2);
});

test('the page follows what happens without being loaded again, and says it', async () => {
  const page = await opened();
  await page.evaluate(() => { window.sameDocument = true; });
  await kitchen.tell({ fact: 'sign', jar: 'blue', sign: 'whey-pockets' });
  await comesTrue(() => page.locator('[data-jar=blue]').getAttribute('data-headline').then((h) => h === 'At its peak'), 'the new headline');
  assert.equal(await page.evaluate(() => window.sameDocument), true);
  await comesTrue(() => page.locator('#news').textContent().then((t) => t.includes('At its peak')), 'the news');
  await picture(page, 'page-at-its-peak');
  await page.close();
});

test('nothing was written to the console', () => {
  assert.deepEqual(complaints, []);
});

test('a thousand open connections cost nobody a message, and are over soon', async () => {
  const sockets = [];
  for (let i = 0; i < 1000; ++i) {
    const socket = connect(kitchen.webPort, '127.0.0.1');
    socket.on('error', () => {});
    if (i % 2) socket.write('GET /live HTTP/1.1\r\nHost: x\r\n\r\n');
    sockets.push(socket);
  }
  await sleep(500);
  const answer = await kitchen.tell({ fact: 'strain', jar: 'blue' });
  assert.equal(answer.accepted, true);
  await comesTrue(() => kitchen.below('wheymark/events/jar-blue/strained').length > 0, 'the event');
  const files = Number((await import('node:fs')).readdirSync(`/proc/${kitchen.daemon.pid}/fd`).length);
  assert.ok(files < 100, `${files} open files`);
  const threads = (await import('node:fs')).readdirSync(`/proc/${kitchen.daemon.pid}/task`).length;
  assert.ok(threads < 40, `${threads} threads`);
  for (const socket of sockets) socket.destroy();
  await comesTrue(async () => (await fetch(kitchen.url).catch(() => ({}))).status === 200, 'the page again', 20000);
  assert.equal(kitchen.daemon.exitCode, null);
});

test('a port that somebody has already is an error that names it', async () => {
  const { spawnSync } = await import('node:child_process');
  const { wheymarkd } = await import('./kitchen.mjs');
  const run = spawnSync(wheymarkd, ['run', '--config', kitchen.file, '--store', ':memory:'], { timeout: 10000 });
  assert.equal(run.status, 1);
  assert.match(run.stderr.toString(), new RegExp(`tile.listen 127.0.0.1:${kitchen.webPort}: cannot listen`));
});
