// A kitchen for the conformance tests: a broker of its own, a running wheymarkd whose clock the test
// moves, and people who speak and listen.
import { spawn, execFileSync } from 'node:child_process';
import { createServer } from 'node:net';
import { mkdtempSync, writeFileSync, rmSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import mqtt from 'mqtt';

const build = process.env.WHEYMARK_BUILD;
if (!build) throw new Error('WHEYMARK_BUILD must name the build folder; see run.sh');
export const wheymarkd = join(build, 'plugin', 'wheymarkd');
export const source = fileURLToPath(new URL('../..', import.meta.url));
export const clockTopic = 'test/clock';

export async function comesTrue(claim, what, wait = 10000) {
  const until = Date.now() + wait;
  for (;;) {
    const value = await claim();
    if (value) return value;
    if (Date.now() > until) throw new Error(`did not come true: ${what}`);
    await sleep(25);
  }
}

export function freePort() {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.on('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}

// The household of the tests; `changes` are laid over it.
export function household(port, webPort, changes = {}) {
  return {
    home: { name: 'Harbour Street', time_zone: 'Europe/Lisbon' },
    broker: { url: `mqtt://127.0.0.1:${port}` },
    store: 'wheymark.db',
    ...(webPort ? { tile: { listen: `127.0.0.1:${webPort}` } } : {}),
    places: [
      { id: 'kitchen', name: 'Kitchen shelf', kind: 'room',
        thermometer: { topic: 'house/kitchen/climate', pointer: '/temperature' } },
      { id: 'fridge', name: 'Fridge', kind: 'fridge', thermometer: { topic: 'house/fridge' } }],
    cultures: [{ id: 'old-faithful', name: 'Old Faithful', grain_g: 20 }],
    jars: [
      { id: 'blue', name: 'Blue jar', capacity_ml: 1250, place: 'kitchen',
        culture: 'old-faithful', milk: 'cow-whole', milk_ml: 950, grain_g: 20, lid: 'tight' },
      { id: 'crock', name: 'Grandmother’s <crock> & "lid"', capacity_ml: 1500, place: 'kitchen',
        culture: 'old-faithful', milk: 'goat', milk_ml: 800, grain_g: 60 },
      { id: 'swing-1', name: 'Swing-top 1', capacity_ml: 1000, place: 'fridge' }],
    ...changes,
  };
}

export class Kitchen {
  static async opened(changes = {}, { web = false, broker = 'allow_anonymous true\n' } = {}) {
    const kitchen = new Kitchen();
    kitchen.folder = mkdtempSync(join(tmpdir(), 'wheymark-'));
    kitchen.port = await freePort();
    kitchen.webPort = web ? await freePort() : 0;
    kitchen.moreBroker = broker;
    await kitchen.startBroker();
    kitchen.client = await kitchen.connect();
    kitchen.heard = [];
    kitchen.retained = new Map();
    kitchen.client.on('message', (topic, payload, packet) => kitchen.hear(topic, payload, packet));
    await kitchen.client.subscribeAsync('#', { qos: 2, rap: true });
    kitchen.configure(changes);
    return kitchen;
  }

  hear(topic, payload, packet) {
    const text = payload.toString();
    this.heard.push({ topic, text, qos: packet.qos, retain: packet.retain,
                      contentType: packet.properties?.contentType });
    if (!packet.retain) return;
    if (text === '') this.retained.delete(topic);
    else this.retained.set(topic, text);
  }

  configure(changes) {
    this.configuration = household(this.port, this.webPort, changes);
    writeFileSync(this.file, JSON.stringify(this.configuration, null, 2));
  }
  get file() { return join(this.folder, 'household.json'); }
  get url() { return `http://127.0.0.1:${this.webPort}`; }

  async startBroker() {
    const file = join(this.folder, 'mosquitto.conf');
    writeFileSync(file, `listener ${this.port} 127.0.0.1\npersistence false\n` +
      (process.getuid() === 0 ? 'user root\n' : '') + this.moreBroker);
    this.broker = spawn('mosquitto', ['-c', file],
      { stdio: 'ignore', env: { ...process.env, PATH: `${process.env.PATH}:/usr/sbin` } });
    await comesTrue(() => new Promise((resolve) => {
      const probe = mqtt.connect({ port: this.port, host: '127.0.0.1', reconnectPeriod: 0 });
      probe.on('connect', () => { probe.end(); resolve(true); });
      probe.on('error', () => { probe.end(); resolve(false); });
    }), 'the broker answers');
  }

  connect(more = {}) {
    return mqtt.connectAsync({ host: '127.0.0.1', port: this.port, protocolVersion: 5, ...more });
  }

  // Runs the daemon; it is `ready` once the clock was set.
  async start(at, wait = 15000) {
    this.said = '';
    this.daemon = spawn(wheymarkd, ['run', '--config', this.file, '--clock', clockTopic]);
    this.daemon.stderr.on('data', (data) => { this.said += data; });
    this.ended = new Promise((resolve) => { this.daemon.on('exit', resolve); });
    await comesTrue(() => this.said.includes('connected to'), `the daemon connects: ${this.said}`);
    await this.moveTo(at, wait);
  }

  // Moves the clock, and returns when everything that this caused is with the broker.
  async moveTo(at, wait = 30000) {
    this.now = new Date(at);
    const text = this.now.toISOString().replace('.000Z', 'Z');
    const before = this.count(`${clockTopic}/done`, text);
    await comesTrue(async () => {
      await this.client.publishAsync(clockTopic, text, { qos: 1 });
      return comesTrue(() => this.count(`${clockTopic}/done`, text) > before, 'done', wait / 3)
        .catch(() => false);
    }, `the clock is at ${text}\n${this.said}`, wait);
  }
  async pass(hours, roomC, fridgeC = 4.2) {
    for (let left = hours * 60; left > 0; left -= 30) {
      const room = typeof roomC === 'function' ? roomC(this.now) : roomC;
      await this.say('house/kitchen/climate', { temperature: room });
      await this.say('house/fridge', String(fridgeC));
      await this.moveTo(new Date(this.now.getTime() + Math.min(left, 30) * 60000));
    }
  }

  async say(topic, payload, more = {}) {
    const text = typeof payload === 'string' ? payload : JSON.stringify(payload);
    await this.client.publishAsync(topic, text, { qos: 1, ...more });
  }
  // Says a fact and returns the answer to it.
  async tell(fact) {
    const ref = fact.ref ?? `ref-${this.heard.length}`;
    await this.say('wheymark/say', { ref, ...fact });
    return comesTrue(() => this.on('wheymark/answer').map((m) => JSON.parse(m.text))
      .find((answer) => answer.ref === ref), `an answer to ${JSON.stringify(fact)}`);
  }

  on(topic) { return this.heard.filter((message) => message.topic === topic); }
  below(root) { return this.heard.filter((message) => message.topic.startsWith(root)); }
  count(topic, text) { return this.on(topic).filter((message) => message.text === text).length; }
  async hears(topic, text) {
    await comesTrue(() => this.count(topic, text) > 0, `${topic} says ${text}`);
  }
  async holds(topic, text) {
    await comesTrue(() => this.retained.get(topic) === text,
      `${topic} is ${text}, not ${this.retained.get(topic)}`);
  }

  async stop() {
    if (!this.daemon || this.daemon.exitCode !== null) return;
    this.daemon.kill('SIGTERM');
    await this.ended;
  }
  async kill() {
    this.daemon.kill('SIGKILL');
    await this.ended;
  }
  async close() {
    await this.stop();
    await this.client.endAsync(true);
    this.broker.kill('SIGKILL');
    rmSync(this.folder, { recursive: true, force: true });
  }
}

export { sleep, execFileSync, spawn, readFileSync, writeFileSync, join };
