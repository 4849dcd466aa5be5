import { createSocket } from 'node:dgram';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { Secret } from '../../src/plan/secret.js';
import type { ResolvedSnmp } from '../../src/probe/types.js';
import { probeSnmp } from '../../src/snmp/agent.js';
import { ADDRESS, never, service } from '../probe/loopback.js';
import { ENGINE_ID, freeUdpPort, type LibraryAgent, libraryAgent } from './library-agent.js';
import { type Agent, type Objects, scriptedAgent } from './scripted-agent.js';
import { community } from './support.js';

const PATIENCE = { timeoutMs: 250, attempts: 2 };
/** RFC 3418: the system group, instance .0. */
const SYSTEM = '1.3.6.1.2.1.1';

const ask = (port: number, credential?: ResolvedSnmp | { missing: string }, patience = PATIENCE) =>
  probeSnmp({ address: ADDRESS, service: service('snmp', port), credential }, patience, never());

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

async function serve(objects: Objects, misbehaviour?: Parameters<typeof scriptedAgent>[1]): Promise<Agent> {
  const agent = await scriptedAgent(objects, misbehaviour);
  closers.push(agent.close);
  return agent;
}

const GROUP: Objects = [
  [`${SYSTEM}.1.0`, { text: 'Loft vault\r\nrevision \u001b[31m3' }],
  [`${SYSTEM}.2.0`, { oid: '1.3.6.1.4.1.32473.7' }],
  [`${SYSTEM}.3.0`, { ticks: 123_456 }],
  [`${SYSTEM}.4.0`, { text: '' }],
  [`${SYSTEM}.5.0`, { text: 'vault-1-a' }],
  [`${SYSTEM}.6.0`, { text: 'rack R3' }],
];
/** RFC 6933: entPhysicalClass .5, entPhysicalSerialNum .11; class 3 is the chassis. */
const ENTITY = '1.3.6.1.2.1.47.1.1.1.1';
const SERIALS: Objects = [
  // entPhysicalSoftwareRev .10: of a module and of the chassis.
  [`${ENTITY}.10.1`, { text: '0.9' }],
  [`${ENTITY}.10.2`, { text: '4.2.1' }],
  [`${ENTITY}.5.1`, { int: 9 }],
  [`${ENTITY}.5.2`, { int: 3 }],
  [`${ENTITY}.5.3`, { int: 6 }],
  [`${ENTITY}.11.1`, { text: 'MODULE-1' }],
  [`${ENTITY}.11.2`, { text: 'CHASSIS-7' }],
  [`${ENTITY}.11.3`, { text: '' }],
];

describe('probeSnmp with a community', () => {
  it.each(['1', '2c'] as const)('reads the system group and the serials, version %s', async (version) => {
    const agent = await serve([...GROUP, ...SERIALS]);
    const answer = await ask(agent.port, community(agent.port, version));
    expect(answer.sighting).toEqual({ outcome: 'replied', version, credential: 'site-ro' });
    expect(answer.proof).toMatchObject({
      outcome: 'proven',
      detail: `SNMP version ${version}, sysName vault-1-a`,
    });
    expect(answer.identity).toEqual({
      sysDescr: 'Loft vault revision \\u001b[31m3',
      sysObjectId: '1.3.6.1.4.1.32473.7',
      sysName: 'vault-1-a',
      sysLocation: 'rack R3',
      upTimeTicks: 123_456,
      serials: ['CHASSIS-7', 'MODULE-1'],
      software: '4.2.1',
    });
  });

  it('takes what an agent has: version 1 fails the whole question for one absent object', async () => {
    const agent = await serve(GROUP.filter(([oid]) => !oid.endsWith('.6.0')));
    const answer = await ask(agent.port, community(agent.port, '1'));
    expect(answer.identity).toMatchObject({ sysName: 'vault-1-a' });
    expect(answer.identity?.serials).toBeUndefined();
  });

  // The project's capture snmp.hex, frame 3: a wrong community is answered by nothing at all.
  it('a wrong community is silence, and silence is no proof of absence', async () => {
    const agent = await serve(GROUP);
    const answer = await ask(agent.port, community(agent.port, '2c', 'mistaken'));
    expect(answer.sighting).toEqual({ outcome: 'no-reply', credential: 'site-ro', cause: 'timeout' });
    expect(answer.proof).toMatchObject({ outcome: 'silent', cause: 'timeout' });
  });

  // RFC 1122 §3.2.2.1: port unreachable comes from the host itself.
  it('a closed port is refused, long before patience ends', async () => {
    const port = await freeUdpPort();
    const startedAt = performance.now();
    const answer = await ask(port, community(port), { timeoutMs: 3000, attempts: 3 });
    expect(answer.sighting).toMatchObject({ outcome: 'refused', cause: 'port-unreachable' });
    expect(answer.proof).toMatchObject({ outcome: 'refused', cause: 'port-unreachable' });
    expect(performance.now() - startedAt).toBeLessThan(1000);
  });

  it.each([
    ['text', Buffer.from('hello')],
    ['nothing', Buffer.alloc(0)],
    ['a sequence that promises more', Buffer.from('3082ffff020101', 'hex')],
    ['a message without a pdu', Buffer.from('300d02010104096c6f66742d72656164', 'hex')],
    ['an encrypted version 3 answer', Buffer.from('309d020103', 'hex')],
  ])('%s in answer brings nothing down', async (_, bytes) => {
    const agent = await serve([], { bytes });
    const answer = await ask(agent.port, community(agent.port));
    expect(answer.sighting.outcome).toBe('no-reply');
  });

  it("asks the credential's port where the service is on its usual one", async () => {
    const agent = await serve(GROUP);
    const answer = await ask(161, community(agent.port));
    expect(answer.sighting.outcome).toBe('replied');
    expect(answer.proof.port).toBe(161);
  });

  it('survives loss', async () => {
    const agent = await serve([...GROUP, ...SERIALS], { dropEach: 3 });
    const answer = await ask(agent.port, community(agent.port), { timeoutMs: 150, attempts: 4 });
    expect(answer.sighting.outcome).toBe('replied');
  });
});

describe('probeSnmp without a credential', () => {
  it('says why nothing was asked, and that no version 3 agent answered', async () => {
    const agent = await serve(GROUP);
    const answer = await ask(agent.port);
    expect(answer.sighting).toMatchObject({ outcome: 'not-run', reason: 'no credential in the plan' });
    expect(answer.proof).toMatchObject({
      outcome: 'not-run',
      reason: 'no credential in the plan, and no SNMPv3 agent answered',
    });
  });

  it('names the secret that is missing', async () => {
    const answer = await ask(await freeUdpPort(), { missing: 'credential site-ro: SITE_SNMP is not set' });
    expect(answer.sighting).toMatchObject({ reason: 'credential site-ro: SITE_SNMP is not set' });
    expect(answer.proof.outcome).toBe('refused');
  });
});

describe('probeSnmp against the agent of net-snmp, version 3', () => {
  let agent: LibraryAgent;
  beforeAll(async () => {
    agent = await libraryAgent({ [`${SYSTEM}.1`]: 'Loft vault', [`${SYSTEM}.5`]: 'vault-1-b' });
  });
  afterAll(() => agent.close());

  const v3 = (credential: Partial<ResolvedSnmp>): ResolvedSnmp => ({
    name: 'site-v3',
    version: '3',
    port: agent.port,
    ...credential,
  });
  const authKey = new Secret('maplesyrup');
  const privKey = new Secret('newsyrup1');

  it.each<[string, () => Partial<ResolvedSnmp>]>([
    ['noAuthNoPriv', () => ({ user: 'watcher' })],
    ['authNoPriv', () => ({ user: 'reader', auth: 'sha256', authKey })],
    ['authPriv', () => ({ user: 'keeper', auth: 'sha256', authKey, priv: 'aes', privKey })],
  ])('replies at level %s', async (_, credential) => {
    const answer = await ask(agent.port, v3(credential()));
    expect(answer.sighting).toMatchObject({ outcome: 'replied', version: '3' });
    expect(answer.identity).toMatchObject({
      sysName: 'vault-1-b',
      sysDescr: 'Loft vault',
      engineId: ENGINE_ID,
    });
  });

  // RFC 3414 §3.2: unknown user, wrong digest, decryption error are reports, each its own.
  it.each<[string, () => Partial<ResolvedSnmp>, RegExp]>([
    ['an unknown user', () => ({ user: 'nobody' }), /user/],
    // The library's agent is silent on a wrong digest; tests/lab/snmp.test.ts has snmpd, which reports it.
    ['a wrong key', () => ({ user: 'reader', auth: 'sha256', authKey: new Secret('wrong-key-x') }), /./],
    ['a level the user has not', () => ({ user: 'keeper', level: 'noAuthNoPriv' }), /./],
  ])('rejects %s', async (_, credential, detail) => {
    const answer = await ask(agent.port, v3(credential()));
    expect(answer.sighting).toMatchObject({
      outcome: 'rejected',
      cause: 'credential-rejected',
      detail: expect.stringMatching(detail),
    });
    expect(answer.proof).toMatchObject({ outcome: 'proven', cause: 'credential-rejected' });
    expect(JSON.stringify(answer)).not.toMatch(/wrong-key-x|maplesyrup|newsyrup/);
  });

  it('is proven to live there without any credential', async () => {
    const answer = await ask(agent.port);
    expect(answer.proof).toMatchObject({ outcome: 'proven', detail: `SNMPv3 engine ${ENGINE_ID}` });
    expect(answer.identity).toEqual({ engineId: ENGINE_ID });
    expect(answer.sighting).toMatchObject({ outcome: 'not-run' });
  });

  it('a wrong community at an agent that lives is rejected, not silent', async () => {
    const answer = await ask(agent.port, community(agent.port, '2c', 'mistaken'));
    expect(answer.sighting).toMatchObject({ outcome: 'rejected' });
    expect(JSON.stringify(answer)).not.toContain('mistaken');
  });
});

/** A middleman on `listenOn` that asks the agent and lets its answers out of a socket on `answerFrom`. */
async function relay(agentPort: number, answerFrom: string, change = (reply: Buffer) => reply) {
  const front = createSocket('udp4');
  const back = createSocket('udp4');
  await new Promise<void>((resolve) => back.bind(0, answerFrom, resolve));
  front.on('message', (question, from) => {
    const forward = createSocket('udp4');
    forward.on('message', (reply) => {
      back.send(change(reply), from.port, from.address);
      forward.close();
    });
    forward.on('error', () => {});
    forward.send(question, agentPort, ADDRESS);
    setTimeout(() => forward.unref(), 0);
  });
  await new Promise<void>((resolve) => front.bind(0, ADDRESS, resolve));
  closers.push(async () => {
    front.close();
    back.close();
  });
  return front.address().port;
}

describe('probeSnmp and who answers', () => {
  it('takes an answer that comes from another port of the device', async () => {
    const agent = await serve(GROUP);
    const port = await relay(agent.port, ADDRESS);
    const answer = await ask(port, community(port));
    expect(answer.sighting.outcome).toBe('replied');
  });

  it('does not take the answer of another address, and says whose it was', async () => {
    const agent = await serve(GROUP);
    const port = await relay(agent.port, '127.0.0.9');
    const answer = await ask(port, community(port));
    expect(answer.sighting).toMatchObject({
      outcome: 'no-reply',
      cause: 'wrong-source',
      detail: 'an answer came from 127.0.0.9 instead',
    });
    expect(answer.proof).toMatchObject({ outcome: 'silent', cause: 'wrong-source' });
    expect(answer.identity).toBeUndefined();
  });

  it('does not take the answer to another question', async () => {
    const agent = await serve(GROUP);
    // Request id of a version 2c message: the first INTEGER of the PDU, here its last octet.
    const port = await relay(agent.port, ADDRESS, (reply) => {
      const at = reply.indexOf(0xa2);
      const idAt = at + (((reply[at + 1] ?? 0) & 0x80) === 0 ? 2 : 2 + ((reply[at + 1] ?? 0) & 0x7f));
      const last = idAt + 1 + (reply[idAt + 1] ?? 0);
      reply[last] = (reply[last] ?? 0) ^ 0x55;
      return reply;
    });
    const answer = await ask(port, community(port));
    expect(answer.sighting).toMatchObject({ outcome: 'no-reply', cause: 'timeout' });
    expect(answer.identity).toBeUndefined();
  });
});

/**
 * Addresses that this system will not send to: each is an outcome, whatever the system calls it. RFC 919 §7: limited broadcast;
 * RFC 4291 §2.5.6: a link-local address says nothing without its link. Both ways of asking, with and without a credential.
 */
describe.each([
  ['the limited broadcast address', '255.255.255.255', 'not-permitted'],
  ['the broadcast address of the loopback network', '127.255.255.255', 'not-permitted'],
  ['a link-local address without its port', 'fe80::5eff:fe00:5301', 'no-route'],
])('probeSnmp at %s', (_reason, address, cause) => {
  it.runIf(process.platform === 'linux').each([
    ['without a credential', undefined],
    ['with one', community(161)],
  ])('ends as an outcome, %s', async (_which, credential) => {
    const target = { address, service: service('snmp', 161), credential };
    const { sighting, proof } = await probeSnmp(target, PATIENCE, never());
    expect(proof.outcome).toBe('not-run');
    if (credential !== undefined) expect(sighting).toMatchObject({ outcome: 'not-run', cause });
  });
});
