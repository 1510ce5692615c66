// The examples do what they say: automations in shell, the broker with TLS, users and an ACL, and a
// hub's own announcements.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { cpSync, mkdtempSync, chmodSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { Kitchen, comesTrue, execFileSync, freePort, join, readFileSync, sleep, source, spawn, wheymarkd, writeFileSync } from './kitchen.mjs';
import mqtt from 'mqtt';

const examples = join(source, 'config-examples');
let kitchen;
before(async () => {
  kitchen = await Kitchen.opened();
  await kitchen.start('2027-03-01T08:00:00Z');
  await kitchen.pass(0.5, 21.5);
});
after(() => kitchen?.close());

const automations = (...words) => [join(examples, 'automations.sh'), words,
  { env: { ...process.env, MQTT: `-h 127.0.0.1 -p ${kitchen.port}` } }];

test('a button starts a batch, and the peak is notified with its caution', async () => {
  const [command, words, options] = automations('notify');
  const notify = spawn(command, words, { ...options, detached: true });  // a group of its own
  let told = '';
  notify.stdout.on('data', (data) => { told += data; });
  try {
    await sleep(700);  // it says nothing when it has subscribed
    execFileSync(...automations('press', 'blue', 'start'));
    await kitchen.holds('homie/5/jar-blue/batch/stage', 'working');
    await kitchen.tell({ fact: 'sign', jar: 'blue', sign: 'whey-pockets' });
    await comesTrue(() => told.includes('Blue jar: whey pockets were seen'), `the peak, not ${told}`);
    await kitchen.tell({ fact: 'sign', jar: 'blue', sign: 'whey-layer' });
    await comesTrue(() => /over-fermented.*discard it/.test(told), 'over-fermented with its caution');
    assert.ok(!told.includes('went into'), 'a start needs no notification');
  } finally {
    process.kill(-notify.pid);
  }
  execFileSync(...automations('press', 'blue', 'strain'));
  await comesTrue(() => kitchen.on('wheymark/answer').some((m) => JSON.parse(m.text).fact === 'strain' && JSON.parse(m.text).accepted), 'strained');
  execFileSync(...automations('press', 'blue', 'store'));
  await kitchen.holds('homie/5/jar-blue/batch/stage', 'fridge');
});

test('what must be used soon is reminded of', async () => {
  assert.equal(execFileSync(...automations('remind')).toString(), '');
  // A retained stage and last day, as on the fifteenth day.
  await kitchen.stop();
  await kitchen.say('homie/5/jar-blue/batch/stage', 'use-soon', { retain: true });
  await kitchen.say('homie/5/jar-blue/fridge/last-day', '2027-03-22T08:30:00Z', { retain: true });
  assert.equal(execFileSync(...automations('remind')).toString(), 'jar-blue: use it by 2027-03-22T08:30:00Z.\n');
});

test('a call that is wrong shows how to call it', () => {
  assert.throws(() => execFileSync(...automations('sing'), { stdio: 'pipe' }), (error) => error.status === 2);
});

test('announcements reach the hub and name topics that exist', async () => {
  const text = readFileSync(join(examples, 'announcements.json'), 'utf8').replace(/^\s*\/\/.*$/gm, '');
  const { announce } = JSON.parse(text);
  kitchen.configure({ announce });
  await kitchen.start('2027-03-01T10:00:00Z');
  const introduction = await comesTrue(() => kitchen.retained.get('hub/introductions/jar-blue'), 'an introduction');
  const { label, alive, show, picture, button } = JSON.parse(introduction);
  assert.equal(label, 'Blue jar, Harbour Street');
  await kitchen.holds(alive.topic, alive.value);
  assert.ok(kitchen.retained.has(show[0].topic));
  assert.ok(kitchen.retained.has(picture));
  assert.equal(button.topic, 'homie/5/jar-blue/care/step/set');
  await kitchen.stop();
  kitchen.configure({});
  await kitchen.start('2027-03-01T10:05:00Z');
  await comesTrue(() => ![...kitchen.retained.keys()].some((topic) => topic.startsWith('hub/')), 'no introduction is left');
});

test('on the broker with TLS, users and the ACL everything works, and no more than that', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'wheymark-broker-'));
  const port = await freePort();
  cpSync(join(examples, 'broker'), folder, { recursive: true });
  execFileSync('sh', ['make-certificates.sh', '127.0.0.1'], { cwd: folder });
  for (const user of ['wheymark', 'hub', 'thermometers']) {
    execFileSync('mosquitto_passwd', [...(user === 'wheymark' ? ['-c'] : []), '-b', 'passwords', user, `${user}-pw`], { cwd: folder, stdio: 'pipe' });
  }
  const conf = readFileSync(join(folder, 'mosquitto.conf'), 'utf8').replace('listener 8883', `listener ${port} 127.0.0.1`);
  writeFileSync(join(folder, 'mosquitto.conf'), conf + (process.getuid() === 0 ? 'user root\n' : ''));
  const broker = spawn('mosquitto', ['-c', 'mosquitto.conf'], { cwd: folder, stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, PATH: `${process.env.PATH}:/usr/sbin` } });
  const as = (user, more = {}) => mqtt.connectAsync({ protocol: 'mqtts', host: '127.0.0.1', port, username: user,
    password: `${user}-pw`, ca: readFileSync(join(folder, 'ca.pem')), protocolVersion: 5, reconnectPeriod: 0, ...more });
  let daemon;
  const clients = [];
  try {
    const hub = await comesTrue(() => as('hub').catch(() => null), 'the broker with TLS');
    const sensors = await as('thermometers');
    clients.push(hub, sensors);
    const heard = new Map();
    hub.on('message', (topic, payload) => heard.set(topic, payload.toString()));
    await hub.subscribeAsync(['homie/5/#', 'wheymark/#'], { qos: 1 });

    const configuration = kitchen.configuration;
    configuration.broker = { url: `mqtts://127.0.0.1:${port}`, user: 'wheymark', password_file: 'secret', ca_file: 'ca.pem' };
    writeFileSync(join(folder, 'secret'), 'wheymark-pw\n');
    chmodSync(join(folder, 'secret'), 0o600);
    writeFileSync(join(folder, 'household.json'), JSON.stringify(configuration));
    daemon = spawn(wheymarkd, ['run', '--config', join(folder, 'household.json')]);
    let said = '';
    daemon.stderr.on('data', (data) => { said += data; });
    await comesTrue(() => heard.get('homie/5/wheymark/$state') === 'ready', () => `ready: ${said}`);

    await sensors.publishAsync('house/kitchen/climate', JSON.stringify({ temperature: 21 }), { qos: 1 });
    await comesTrue(() => heard.get('homie/5/place-kitchen/air/temperature') === '21.0', 'the reading');
    await hub.publishAsync('homie/5/jar-blue/care/step/set', 'start', { qos: 0 });
    await comesTrue(() => heard.has('wheymark/events/jar-blue/batch-started'), 'the event');
    await comesTrue(() => heard.get('wheymark/tile/jar-blue'), 'the tile');
    assert.ok(!/not published|not subscribed/.test(said), said);

    // Nobody may say what is another's.
    for (const [client, topic] of [[hub, 'homie/5/jar-blue/batch/stage'], [hub, 'house/kitchen/climate'],
      [hub, 'wheymark/events/jar-blue/peak-open'], [sensors, 'wheymark/say'], [sensors, 'homie/5/jar-blue/care/step/set']]) {
      await assert.rejects(client.publishAsync(topic, 'x', { qos: 1 }), /Not authorized/i, topic);
    }
    await assert.rejects(as('hub', { password: 'wrong' }));
  } finally {
    daemon?.kill('SIGTERM');
    for (const client of clients) await client.endAsync(true);
    broker.kill('SIGKILL');
    rmSync(folder, { recursive: true, force: true });
  }
});

test('a topic that the broker refuses is told, and an event waits for its day', async () => {
  await kitchen.close();
  const acl = (events) => {
    const file = join(tmpdir(), `wheymark-acl-${process.pid}`);
    writeFileSync(file, `user wheymark\ntopic readwrite homie/#\ntopic readwrite test/#\ntopic readwrite house/#\ntopic readwrite wheymark/say\ntopic readwrite wheymark/answer\ntopic readwrite wheymark/tile/#\n${events}\n`);
    return file;
  };
  // Everybody without a name may do everything here; the daemon has a name.
  const passwords = join(tmpdir(), `wheymark-passwords-${process.pid}`);
  writeFileSync(passwords, '');
  execFileSync('mosquitto_passwd', ['-c', '-b', passwords, 'wheymark', 'pw'], { stdio: 'pipe' });
  const more = `allow_anonymous true\npassword_file ${passwords}\nacl_file ${acl('')}\n`;
  const open = 'topic readwrite #\n';
  writeFileSync(acl(''), open + readFileSync(acl(''), 'utf8'));
  kitchen = await Kitchen.opened({}, { broker: more });
  writeFileSync(join(kitchen.folder, 'secret'), 'pw');
  kitchen.configure({ broker: { url: `mqtt://127.0.0.1:${kitchen.port}`, user: 'wheymark', password_file: 'secret' } });
  await kitchen.start('2027-03-01T08:00:00Z');
  assert.equal((await kitchen.tell({ fact: 'start', jar: 'blue' })).accepted, true);
  await comesTrue(() => /not published to wheymark\/events\/jar-blue\/batch-started: .*[Nn]ot authorized/.test(kitchen.said), 'the refusal');
  assert.equal(kitchen.below('wheymark/events/').length, 0);

  await kitchen.stop();
  writeFileSync(acl('topic readwrite wheymark/events/#'), open + readFileSync(acl('topic readwrite wheymark/events/#'), 'utf8'));
  kitchen.broker.kill('SIGHUP');  // reads its files again
  await sleep(300);
  await kitchen.start('2027-03-01T09:00:00Z');
  await comesTrue(() => kitchen.below('wheymark/events/jar-blue/batch-started').length === 1, 'the event, an hour later');
});
