// What a CloudEvents SDK and the published schemas say of our events.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { createRequire } from 'node:module';
import Ajv2020 from 'ajv/dist/2020.js';
import Ajv from 'ajv';
import addFormats from 'ajv-formats';
import { CloudEvent, MQTT } from 'cloudevents';
import { Kitchen, comesTrue, readFileSync, join, source, writeFileSync, execFileSync, wheymarkd } from './kitchen.mjs';

const require = createRequire(import.meta.url);
// The SDK's own copy of the official JSON Schema, compiled.
const official = require('./node_modules/cloudevents/dist/schema/v1.js');

const schema = (name) => JSON.parse(readFileSync(join(source, 'plugin', 'schemas', `${name}.json`), 'utf8'));
function compiled(name) {
  const ajv = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true, strictRequired: false, strictTypes: false });
  addFormats(ajv);
  return ajv.compile(schema(name));
}
const fits = (validate, value) => {
  assert.ok(validate(value), JSON.stringify([value, validate.errors], null, 1));
};

let kitchen;
const events = () => kitchen.below('wheymark/events/');

before(async () => {
  kitchen = await Kitchen.opened();
  await kitchen.start('2027-03-01T08:00:00Z');
  await kitchen.pass(0.5, 21.5);
  await kitchen.tell({ fact: 'start', jar: 'blue' });
  await kitchen.pass(1, 21.5);
  await kitchen.tell({ fact: 'sign', jar: 'blue', sign: 'whey-pockets' });
  await kitchen.tell({ fact: 'sign', jar: 'blue', sign: 'separated' });
  await kitchen.tell({ fact: 'strain', jar: 'blue', into: 'swing-1', verdict: 'late', grain_g: 21 });
  await kitchen.tell({ fact: 'store', jar: 'swing-1' });
  await kitchen.tell({ fact: 'strain', jar: 'blue' });  // refused
  await kitchen.say('wheymark/say', '{no json');
  await kitchen.say('house/kitchen/climate', { temperature: 451 });
  await kitchen.moveTo('2027-03-01T11:30:00Z');  // and the fridge's thermometer is silent
  await comesTrue(() => events().length >= 6, 'some events');
});
after(() => kitchen?.close());

test('the schemas compile as 2020-12 and as draft-07', () => {
  for (const name of ['configuration', 'say', 'answer', 'event', 'notice']) {
    compiled(name);
    const old = new Ajv({ strict: false });
    addFormats(old);
    const { $schema, ...rest } = schema(name);
    assert.match($schema, /2020-12/);
    old.compile(rest);
  }
});

test('every event fits the official schema, our own, and the specification', () => {
  const ours = compiled('event');
  const seen = new Map();
  let last = '';
  for (const { topic, text, qos, retain, contentType } of events()) {
    assert.equal(qos, 1);
    assert.equal(retain, false);
    assert.equal(contentType, 'application/cloudevents+json; charset=utf-8');
    assert.ok(Buffer.byteLength(text) < 64 * 1024);
    const event = JSON.parse(text);
    fits(ours, event);
    const validate = official.default ?? official.validate ?? official;
    assert.ok(validate(event), JSON.stringify(validate.errors));
    // What the official schema leaves open.
    assert.equal(event.specversion, '1.0');
    for (const name of Object.keys(event)) assert.match(name, /^[a-z0-9]{1,20}$/);
    assert.match(event.time, /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$/);
    assert.equal(topic, `wheymark/events/${event.subject}/${event.type.replace('wheymark.', '')}`);
    if (seen.has(event.id)) assert.equal(seen.get(event.id), text, 'sent twice, the same to the byte');
    else assert.ok(event.sequence > last, `${event.sequence} after ${last}`);
    seen.set(event.id, text);
    last = event.sequence > last ? event.sequence : last;
  }
  console.log(`kinds seen: ${[...new Set(events().map((m) => JSON.parse(m.text).type))].join(' ')}`);
});

test('every notice fits the official schema and our own, and its steps can be said', async () => {
  const ours = compiled('notice');
  const say = compiled('say');
  await kitchen.tell({ fact: 'start', jar: 'blue' });
  await kitchen.moveTo('2027-03-01T21:30:00Z');
  await kitchen.moveTo('2027-03-02T12:00:00Z');
  const notices = () => kitchen.below('wheymark/notices/');
  await comesTrue(() => notices().length >= 1, 'a notice');
  const validate = official.default ?? official.validate ?? official;
  for (const { topic, text, qos, retain } of notices()) {
    assert.equal(qos, 1);
    assert.equal(retain, false);
    const notice = JSON.parse(text);
    fits(ours, notice);
    assert.ok(validate(notice), JSON.stringify(validate.errors));
    assert.equal(topic, `wheymark/notices/${notice.type.replace('wheymark.notice.', '')}`);
    for (const step of notice.data.steps) fits(say, step.say);
  }
});

test('the SDK reads every event as it was meant', () => {
  for (const { text, contentType } of events()) {
    // The fields of an MQTT 5 message as the SDK names them.
    const event = MQTT.toEvent({ headers: {}, PUBLISH: { 'Content Type': contentType }, payload: text,
                                 body: text, 'User Properties': {} }, true);
    assert.ok(event instanceof CloudEvent);
    assert.ok(event.validate());
    const raw = JSON.parse(text);
    assert.equal(event.id, raw.id);
    assert.equal(event.sequence, raw.sequence);
    assert.deepEqual(event.data, raw.data);
    assert.equal(new Date(event.time).getTime(), new Date(raw.time).getTime());
  }
});

test('every answer fits its schema', () => {
  const validate = compiled('answer');
  const answers = kitchen.on('wheymark/answer');
  assert.ok(answers.length >= 7);
  for (const { text } of answers) fits(validate, JSON.parse(text));
  assert.ok(answers.some((m) => !JSON.parse(m.text).accepted));
});

test('the schema of says takes what the library takes', async () => {
  const validate = compiled('say');
  const sayings = [
    [{ fact: 'start', jar: 'crock', milk_c: 5, ready_by: '2027-03-02T07:00:00Z' }, true],
    [{ fact: 'ph', jar: 'crock', ph: 6.4 }, true],
    [{ fact: 'lid', jar: 'crock', lid: 'tight' }, true],
    [{ fact: 'weigh', culture: 'old-faithful', grain_g: 24 }, true],
    [{ fact: 'discard', jar: 'crock', why: 'fell' }, true],
    [{ fact: 'explain', jar: 'crock' }, true],
    [{ fact: 'plan', jar: 'crock', vary: ['moon'] }, false],
    [{ fact: 'sign', jar: 'crock', sign: 'bubbles' }, false],
    [{ fact: 'ph', jar: 'crock', ph: 46 }, false],
    [{ fact: 'stir', jar: 'crock' }, false],
    [{ fact: 'start', jar: 'crock', milk: 'oat' }, false],
    [{ fact: 'start', jar: 'Crock!' }, false],
    [{ fact: 'finish', jar: 'crock', extra: 1 }, false],
    [{ fact: 'store', jar: 'crock', at: 'yesterday' }, false],
  ];
  for (const [saying, good] of sayings) {
    assert.equal(validate(saying), good, JSON.stringify([saying, validate.errors]));
    assert.equal((await kitchen.tell(saying)).accepted, good, JSON.stringify(saying));
  }
});

test('the schema of the configuration takes what the daemon takes', () => {
  const validate = compiled('configuration');
  const check = (configuration) => {
    const file = join(kitchen.folder, 'other.json');
    writeFileSync(file, JSON.stringify(configuration));
    try {
      execFileSync(wheymarkd, ['check', '--config', file], { stdio: 'pipe' });
      return true;
    } catch { return false; }
  };
  const base = kitchen.configuration;
  const changed = (change) => { const copy = structuredClone(base); change(copy); return copy; };
  const good = [base,
    changed((c) => { c.broker.protocol = '3.1.1'; c.wire = { log: false, prefix: 'a/b' }; c.tile = {}; }),
    changed((c) => { c.announce = [{ each: 'jar', topic: 'x/{jar.id}', payload: { a: '{jar.name}' } }]; })];
  const bad = [
    changed((c) => { c.jars[0].id = 'Blue Jar'; }), changed((c) => { c.jars[0].id = '-blue'; }),
    changed((c) => { c.broker.protocol = '4'; }), changed((c) => { c.broker.password = 'x'; }),
    changed((c) => { c.broker.url = 'http://x'; }), changed((c) => { c.wire = { log: 'yes' }; }),
    changed((c) => { c.jars[0].milk_ml = 1e9; }), changed((c) => { c.jars[0].milk = 'soy'; }),
    changed((c) => { delete c.home; }), changed((c) => { c.places[0].kind = 'cellar'; }),
    changed((c) => { c.announce = [{ each: 'bottle', topic: 'x', payload: 1 }]; }),
    changed((c) => { c.extra = 1; })];
  for (const configuration of good) { fits(validate, configuration); assert.ok(check(configuration)); }
  for (const configuration of bad) {
    assert.equal(validate(configuration), false, JSON.stringify(configuration));
    assert.equal(check(configuration), false, JSON.stringify(configuration));
  }
});

test('every example configuration fits the schema', () => {
  const validate = compiled('configuration');
  const files = execFileSync('find', [join(source, 'config-examples'), '-name', '*.json']).toString().trim().split('\n');
  for (const file of files) {
    const text = readFileSync(file, 'utf8').replace(/^\s*\/\/.*$/gm, '').replace(/\s\/\/ .*$/gm, '');
    fits(validate, JSON.parse(text));
  }
});

test('over MQTT 3.1.1 the same is said, without properties', async () => {
  await kitchen.stop();
  kitchen.configure({ broker: { ...kitchen.configuration.broker, protocol: '3.1.1' } });
  const mark = kitchen.heard.length;
  await kitchen.start('2027-03-01T12:00:00Z');
  await kitchen.holds('homie/5/wheymark/$state', 'ready');
  const started = await kitchen.tell({ fact: 'start', jar: 'blue' });
  assert.equal(started.accepted, true);
  const event = await comesTrue(() => kitchen.heard.slice(mark).find((m) => m.topic === 'wheymark/events/jar-blue/batch-started'), 'the event');
  assert.equal(event.contentType, undefined);
  fits(compiled('event'), JSON.parse(event.text));
});
