import { describe, expect, test } from 'vitest';
import type { EndpointResult, EndpointSighting } from '../../src/matrix/matrix.js';
import { type CellContext, cellsOf, formatMs } from '../../src/result/cells.js';
import { anEndpoint, aProof, aSighting, aTcp, claimed, mac, notRun } from '../support/evidence.js';
import { LINK, seen } from '../support/matrix.js';

const address = '192.0.2.11';

function endpoint(verdict: EndpointResult['verdict']): EndpointResult {
  return {
    id: 'vault-1/A/mgmt',
    device: 'vault-1',
    controller: 'A',
    port: 'mgmt',
    role: 'management',
    network: 'mgmt',
    address,
    group: '',
    verdict,
    reasons: [],
    sightings: [],
    facts: [],
    differences: [],
  };
}

function cells(
  sighting: EndpointSighting,
  more: Partial<CellContext> & { verdict?: EndpointResult['verdict']; services?: string } = {},
) {
  const { verdict = 'matches', services = 'https ssh', ...context } = more;
  return cellsOf(endpoint(verdict), sighting, {
    planned: anEndpoint('vault-1/A/mgmt', { address, services, speedMbps: 10_000 }),
    identityPlanned: false,
    against: new Set(),
    ...context,
  });
}

const told = (cell: { mark?: string | undefined; text: string }) => [cell.mark, cell.text];

describe('cells', () => {
  test('all as planned', () => {
    const all = cells(seen('bench', aSighting(address, { answers: 'https ssh' }), { link: LINK }));
    expect(Object.values(all).map(told)).toEqual([
      ['matches', 'claimed'],
      ['matches', '0.4 ms'],
      ['matches', 'https ssh'],
      [undefined, 'says nothing'],
      ['matches', 'link up, 10G'],
    ]);
  });

  test.each([
    ['by one MAC', { by: mac(1) }, 'matches', 'claimed'],
    ['by two', { by: [mac(1), mac(2)] }, 'matches', 'claimed by 2 boxes'],
    ['the own one', { own: true, presence: notRun('own') }, 'told', 'this machine has it'],
    ['the own one and of a second box', { own: true, by: [mac(1), mac(2)] }, 'matches', 'claimed by 2 boxes'],
    ['routed', { reach: 'routed', presence: notRun('not on this link') }, undefined, 'behind a router'],
    ['not asked', { presence: notRun('no rights') }, 'unproven', 'not asked'],
  ] as const)('the address, %s', (_name, more, mark, words) => {
    const own = 'own' in more ? { own: true } : {};
    expect(told(cells(seen('bench', aSighting(address, more), own)).address)).toEqual([mark, words]);
  });

  test('nobody claims the address: that alone is missing, the rest had not to be asked', () => {
    const all = cells(seen('bench', aSighting(address, { by: false })), { verdict: 'missing' });
    expect(told(all.address)).toEqual(['missing', 'nobody claims it']);
    expect(Object.values(all).slice(1).map(told)).toEqual(Array(4).fill([undefined, '–']));
  });

  test.each([
    ['refused', 'differs', 'differs', 'https refused; ssh'],
    ['no-reply', 'differs', 'differs', 'https silent; ssh'],
    ['no-reply', 'missing', 'missing', 'https silent; ssh'],
    ['not-run', 'matches', 'unproven', 'https not asked; ssh'],
  ] as const)('a service that says %s at an endpoint that %s is %s', (outcome, verdict, mark, text) => {
    const sighting = aSighting(address, {
      tcp: [aTcp('https', outcome), aTcp('ssh')],
      proofs: [aProof('ssh', 'proven')],
    });
    expect(told(cells(seen('bench', sighting), { verdict }).services)).toEqual([mark, text]);
  });

  test('an open port that speaks something else is no proof of the service', () => {
    const sighting = aSighting(address, {
      tcp: [aTcp('https')],
      proofs: [aProof('https', 'other-protocol')],
    });
    expect(told(cells(seen('bench', sighting), { services: 'https' }).services)).toEqual([
      'differs',
      'https speaks otherwise',
    ]);
  });

  test('no echo from a box whose services answer is told, not held against it (DESIGN 6, last row)', () => {
    expect(
      told(cells(seen('bench', aSighting(address, { echo: false, answers: 'https ssh' }))).echo),
    ).toEqual(['told', 'no reply']);
    expect(
      told(cells(seen('bench', aSighting(address, { echo: false })), { verdict: 'differs' }).echo),
    ).toEqual(['differs', 'no reply']);
  });

  test('lost echoes are said', () => {
    const icmp = { outcome: 'replied', rttMs: 3.21, sent: 5, received: 3 } as const;
    expect(cells(seen('bench', aSighting(address, { icmp }))).echo.text).toBe('3.2 ms, 3 of 5');
  });

  test('what could not be asked is unproven, never missing', () => {
    const blind = aSighting(address, {
      reach: 'no-route',
      presence: notRun('other link'),
      icmp: notRun('no ping program'),
    });
    const all = cells(seen('bench', blind), { verdict: 'unproven' });
    expect(Object.values(all).map(({ mark }) => mark)).not.toContain('missing');
    expect(told(all.echo)).toEqual(['unproven', 'not asked']);
  });

  test('the judge has the last word: a column that a finding speaks against differs', () => {
    const sighting = seen(
      'bench',
      aSighting(address, { presence: claimed([mac(1)]), identity: { snmp: { sysName: 'vault-2' } } }),
    );
    expect(told(cells(sighting, { identityPlanned: true }).box)).toEqual(['matches', 'vault-2']);
    expect(told(cells(sighting, { identityPlanned: true, against: new Set(['box']) }).box)).toEqual([
      'differs',
      'vault-2',
    ]);
  });

  test('a box matches where a planned pattern was read, and not for whatever else it says of itself', () => {
    const sighting = seen('bench', aSighting(address, { identity: { snmp: { sysName: 'vault-1' } } }));
    const box = (identity: CellContext['identity']) =>
      told(cells(sighting, { identityPlanned: true, identity }).box);
    expect(box([{ sysName: 'vault-*', serial: 'SN-7711' }])).toEqual(['matches', 'vault-1']);
    expect(box([{ serial: 'SN-7711' }])).toEqual(['unproven', 'vault-1']);
    const wrong = {
      identityPlanned: true,
      identity: [{ serial: 'SN-7711' }],
      against: new Set(['box'] as const),
    };
    expect(told(cells(sighting, wrong).box)).toEqual(['differs', 'vault-1']);
  });

  test.each([
    [0.01, 'under 0.1 ms'],
    [0.44, '0.4 ms'],
    [9.96, '10 ms'],
    [123.4, '123 ms'],
  ])('%s ms reads %s', (ms, text) => expect(formatMs(ms)).toBe(text));
});
