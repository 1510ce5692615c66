// What node-homie, a client that we did not write, finds of a household.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { createRequire } from 'node:module';
import { Kitchen, comesTrue, sleep } from './kitchen.mjs';

const require = createRequire(import.meta.url);
const { DeviceDiscovery } = require('node-homie');
const { validateHomieValue } = require('node-homie/util');

// It rejects a whole device for anything that it does not expect, and does so outside of any call.
const rejected = [];
process.on('unhandledRejection', (error) => rejected.push(String(error)));

let kitchen;
let discovery;
const devices = new Map();
const alerts = [];

before(async () => {
  kitchen = await Kitchen.opened();
  discovery = new DeviceDiscovery({ url: `mqtt://127.0.0.1:${kitchen.port}` });
  await discovery.onInit();
  discovery.events$.subscribe(async (event) => {
    if (event.type === 'remove') devices.delete(event.deviceId);
    if (event.type !== 'add' || devices.has(event.deviceId)) return;
    const device = event.makeDevice();
    devices.set(event.deviceId, device);
    device.alerts$?.subscribe((alert) => alerts.push(alert));
    await device.onInit();
  });
  await kitchen.say('house/kitchen/climate', { temperature: 21.5 }, { retain: false });
  await kitchen.start('2027-03-01T08:00:00Z');
  await kitchen.pass(0.5, 21.5);
});

after(async () => {
  await kitchen?.close();
  // node-homie's own connections cannot be told to end in every case.
  setTimeout(() => process.exit(), 500).unref();
});

const names = ['wheymark', 'jar-blue', 'jar-crock', 'jar-swing-1', 'culture-old-faithful',
  'place-kitchen', 'place-fridge'];

function properties(device) {
  const found = [];
  const description = device.getDescription();
  for (const [node, shape] of Object.entries(description.nodes ?? {})) {
    for (const [property, form] of Object.entries(shape.properties ?? {})) {
      found.push({ id: `${node}/${property}`, form });
    }
  }
  return found;
}

// Homie 5's own words for payloads, where node-homie is laxer.
const forms = {
  float: /^-?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE]-?[0-9]+)?$/,
  integer: /^-?[0-9]+$/,
  datetime: /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$/,
  duration: /^PT(\d+H)?(\d+M)?(\d+S)?$/,
};

test('every device is discovered, described and ready', async () => {
  await comesTrue(() => names.every((name) => devices.get(name)?.attributes?.state === 'ready' &&
    Object.keys(devices.get(name).getDescription()?.nodes ?? {}).length > 0),
  () => `ready: ${[...devices.keys()]}`, 20000);
  assert.deepEqual([...devices.keys()].sort(), [...names].sort());
  assert.deepEqual(rejected, []);
});

test('every value that is there is valid, and every level of a topic is an id', async () => {
  await kitchen.tell({ fact: 'start', jar: 'blue' });
  await kitchen.pass(1, 21.5);
  let read = 0;
  for (const [id, device] of devices) {
    for (const { id: property, form } of properties(device)) {
      const topic = `homie/5/${id}/${property}`;
      assert.match(topic.slice('homie/5/'.length), /^[a-z0-9]([a-z0-9-]*[a-z0-9])?(\/[a-z0-9]([a-z0-9-]*[a-z0-9])?)*$/);
      const value = kitchen.retained.get(topic);
      if (value === undefined) continue;
      read += 1;
      const [node, name] = property.split('/');
      await comesTrue(() => device.nodes[node].properties[name].value === value,
        `node-homie reads ${topic} as ${value}`);
      assert.ok(validateHomieValue(value, form.datatype, form.format), `${topic}: ${value}`);
      if (forms[form.datatype]) assert.match(value, forms[form.datatype], topic);
    }
  }
  assert.ok(read > 30, `${read} values`);
});

test('a command through /set is carried out and reflected', async () => {
  const topic = 'homie/5/jar-crock/care/step';
  // Sent by node-homie itself, through the property that it made of our description.
  const step = devices.get('jar-crock').nodes.care.properties.step;
  step.setCommand$('start').subscribe();
  await comesTrue(() => kitchen.on(topic).find((m) => m.text === 'start'), 'the reflection');
  assert.equal(kitchen.on(topic)[0].retain, false);
  await kitchen.holds('homie/5/jar-crock/batch/stage', 'working');
});

test('a refused command is not reflected, and its refusal can be seen', async () => {
  await kitchen.client.publishAsync('homie/5/jar-swing-1/care/step/set', 'strain', { qos: 0 });
  await comesTrue(() => kitchen.retained.get('homie/5/jar-swing-1/care/answer')?.includes('refused'),
    'the answer');
  assert.equal(kitchen.on('homie/5/jar-swing-1/care/step').length, 0);
  await comesTrue(() => kitchen.below('homie/5/jar-swing-1/$log/warn').length > 0, 'the log');
});

test('a retained /set is not obeyed', async () => {
  const topic = 'homie/5/jar-swing-1/care/step/set';
  await kitchen.client.publishAsync(topic, 'start', { qos: 1, retain: true });
  await kitchen.stop();
  await kitchen.start('2027-03-01T09:45:00Z');
  await kitchen.holds('homie/5/wheymark/$state', 'ready');
  await sleep(500);
  assert.equal(kitchen.retained.get('homie/5/jar-swing-1/batch/stage'), 'empty');
  await kitchen.client.publishAsync(topic, '', { qos: 1, retain: true });
});

test('an alert stands as long as the peak is open', async () => {
  const topic = 'homie/5/jar-blue/$alert/peak-open';
  await kitchen.tell({ fact: 'sign', jar: 'blue', sign: 'whey-pockets' });
  await comesTrue(() => kitchen.retained.get(topic)?.startsWith('Blue jar: the peak is open'),
    'the alert');
  await kitchen.tell({ fact: 'strain', jar: 'blue', verdict: 'right' });
  await comesTrue(() => !kitchen.retained.has(topic), 'the alert ends');
});

test('$description changes only after init, and ready comes last', () => {
  for (const name of names) {
    let state;
    let described;
    for (const message of kitchen.below(`homie/5/${name}/$`)) {
      const attribute = message.topic.split('/')[3];
      if (attribute === '$state') state = message.text;
      if (attribute !== '$description' || message.text === '') continue;
      if (described !== message.text) assert.ok(['init', 'lost', 'disconnected'].includes(state), `${name}: ${state}`);
      described = message.text;
    }
    assert.equal(state, 'ready');
  }
});

test('an old will that comes late is overruled', async () => {
  await kitchen.say('homie/5/wheymark/$state', 'lost', { retain: true });
  await comesTrue(() => kitchen.on('homie/5/wheymark/$state').at(-1).text === 'ready', 'ready again');
});

test('a killed daemon is lost', async () => {
  await kitchen.kill();
  await kitchen.holds('homie/5/wheymark/$state', 'lost');
  await comesTrue(() => devices.get('jar-blue')?.rootState === 'lost' || devices.get('wheymark')?.deviceState === 'lost',
    'node-homie sees it');
});

test('a jar that has left the configuration is gone, in the order of the convention', async () => {
  const jars = kitchen.configuration.jars.filter((jar) => jar.id !== 'crock');
  const topics = () => [...kitchen.retained.keys()].filter((topic) => topic.startsWith('homie/5/jar-crock/') || topic === 'wheymark/tile/jar-crock');
  console.log(`retained topics of the jar before: ${topics().length}, of all: ${kitchen.retained.size}`);
  assert.ok(topics().length > 15);
  kitchen.configure({ jars });
  const mark = kitchen.heard.length;
  await kitchen.start('2027-03-01T10:00:00Z');
  await comesTrue(() => topics().length === 0, 'no retained topic is left');
  console.log(`retained topics of the jar after: ${topics().length}, of all: ${kitchen.retained.size}`);
  const place = (topic, text) => kitchen.heard.findIndex((m, i) => i >= mark && m.topic === topic && m.text === text);
  const rootReady = place('homie/5/wheymark/$state', 'ready');
  const stateGone = place('homie/5/jar-crock/$state', '');
  assert.ok(rootReady >= 0 && rootReady < stateGone, `${rootReady} < ${stateGone}`);
  const first = kitchen.heard.findIndex((m, i) => i >= mark && m.topic.startsWith('homie/5/jar-crock/') && m.text === '');
  assert.equal(first, stateGone);
  await comesTrue(() => !devices.has('jar-crock'), 'node-homie sees it go', 15000);
  assert.deepEqual(rejected, []);
});

test('everything of ours on the broker is retained with QoS 2, but for what may not be', () => {
  for (const { topic, qos, retain } of kitchen.below('homie/5/')) {
    const passing = /\/\$log\/|\/set$|\/care\/(step|sign|say)$/.test(topic);
    if (topic.endsWith('/set') || topic.endsWith('$state')) continue;  // the test speaks there as well
    assert.equal(retain, !passing, topic);
    assert.equal(qos, passing ? 0 : 2, topic);
  }
});
