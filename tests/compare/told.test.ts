import { expect, test } from 'vitest';
import { type ToldKind, toldChanges } from '../../src/compare/told.js';
import type { EndpointSighting } from '../../src/matrix/matrix.js';
import { anEndpoint, aPlan, aSighting, mac, notRun } from '../support/evidence.js';
import { aMatrix, LINK, seen } from '../support/matrix.js';

const IDS = ['vault-1/A/mgmt', 'vault-1/A/data0', 'vault-1/B/mgmt'];
const plan = aPlan({
  endpoints: IDS.map((id, index) => anEndpoint(id, { address: `192.0.2.${11 + index}` })),
});
const look = (more: Partial<EndpointSighting> = {}): EndpointSighting =>
  seen('bench', aSighting('192.0.2.11', { by: mac(1), answers: 'https' }), {
    link: LINK,
    identity: {
      snmp: { sysName: 'vault-1-a', sysDescr: 'Example OS 4.1', software: '4.1' },
      https: { port: 443, status: 200, server: 'example-mgmt/2' },
      ssh: { line: 'SSH-2.0-Example_1.0', port: 22 },
      certificate: {
        port: 443,
        subject: 'CN=vault-1-a.example',
        issuer: 'CN=vault-1-a.example',
        altNames: [],
        fingerprint256: 'aa:bb',
        validFrom: '2030-01-01',
        validTo: '2040-01-01',
        selfSigned: true,
      },
    },
    mtu: { outcome: 'passes', mtu: 9000 },
    ...more,
  });
const identity = look().identity;

/** The first endpoints tell `now`, the rest what they told before. */
function changed(kind: ToldKind, now: readonly EndpointSighting[][]): string[] {
  const before = aMatrix(plan, () => ({ verdict: 'matches', sightings: [look()] }));
  const pairs = before.endpoints.map((one, index) => ({
    before: one,
    now: { ...one, sightings: now[index] ?? one.sightings },
    facts: [],
  }));
  return toldChanges(pairs, kind).map(
    ({ endpoints, what, before: was, now: is }) => `${endpoints.join(' ')} ${what}: ${was} -> ${is}`,
  );
}

test.each<[ToldKind, string, Partial<EndpointSighting>]>([
  ['identity', `MAC: ${mac(1)} -> ${mac(9)}`, { macs: [mac(9)] }],
  [
    'identity',
    'sysName: vault-1-a -> vault-9-a',
    { identity: { ...identity, snmp: { ...identity.snmp, sysName: 'vault-9-a' } } },
  ],
  [
    'identity',
    'certificate fingerprint: aa:bb -> cc:dd',
    {
      identity: {
        ...identity,
        ...(identity.certificate && { certificate: { ...identity.certificate, fingerprint256: 'cc:dd' } }),
      },
    },
  ],
  ['link', 'link speed: 10G -> 1G', { link: { ...LINK, speedMbps: 1000 } }],
  ['link', 'MTU of the port: 9000 -> 1500', { link: { ...LINK, mtu: 1500 } }],
  [
    'link',
    'MTU of the path: 9000 -> 1500',
    { mtu: { outcome: 'smaller', mtu: 1500, asked: 9000, told: 'silent' } },
  ],
  // An unplugged port tells 0, which is no speed.
  ['link', 'link: up -> down', { link: { ...LINK, operStatus: 'down', speedMbps: 0 } }],
  [
    'software',
    'software: 4.1 -> 4.2',
    { identity: { ...identity, snmp: { ...identity.snmp, software: '4.2' } } },
  ],
  [
    'software',
    'sysDescr: Example OS 4.1 -> Example OS 4.2',
    { identity: { ...identity, snmp: { ...identity.snmp, sysDescr: 'Example OS 4.2' } } },
  ],
  [
    'software',
    'Server: example-mgmt/2 -> example-mgmt/3',
    { identity: { ...identity, https: { port: 443, status: 200, server: 'example-mgmt/3' } } },
  ],
  [
    'software',
    'SSH line: SSH-2.0-Example_1.0 -> SSH-2.0-Example_2.0',
    { identity: { ...identity, ssh: { line: 'SSH-2.0-Example_2.0', port: 22 } } },
  ],
])('%s, %s', (kind, said, more) => {
  expect(changed(kind, [[look(more)]])).toEqual([`vault-1/A/mgmt ${said}`]);
});

test('ports of one controller that tell the same are one line, another controller is another', () => {
  const newer = [look({ identity: { ...identity, snmp: { ...identity.snmp, software: '4.2' } } })];
  expect(changed('software', [newer, newer, newer])).toEqual([
    'vault-1/A/mgmt vault-1/A/data0 software: 4.1 -> 4.2',
    'vault-1/B/mgmt software: 4.1 -> 4.2',
  ]);
});

test('what only one of the runs knew is no change', () => {
  const blind = [look({ macs: [], identity: {}, link: {}, mtu: notRun() })];
  for (const kind of ['identity', 'software', 'link'] as const) expect(changed(kind, [blind])).toEqual([]);
});

test('the order of looks plays no part', () => {
  const other = look({ macs: [mac(2)] });
  const matrix = aMatrix(plan, () => ({ verdict: 'matches', sightings: [look(), other] }));
  const pairs = matrix.endpoints.map((one) => ({
    before: one,
    now: { ...one, sightings: [...one.sightings].reverse() },
    facts: [],
  }));
  expect(toldChanges(pairs, 'identity')).toEqual([]);
});

test('a speed that the plan states is told as its fact, once', () => {
  const [before] = aMatrix(plan, () => ({ verdict: 'matches', sightings: [look()] })).endpoints;
  if (before === undefined) throw new Error('no endpoint');
  const now = { ...before, sightings: [look({ link: { ...LINK, speedMbps: 1000 } })] };
  const state = { state: 'matches', measured: '', by: 'measured' } as const;
  const fact = {
    fact: 'speed',
    planned: '10G',
    before: state,
    now: state,
    turn: 'worse',
    reason: '',
  } as const;
  expect(toldChanges([{ before, now, facts: [fact] }], 'link')).toEqual([]);
  expect(toldChanges([{ before, now, facts: [] }], 'link')).toHaveLength(1);
});
