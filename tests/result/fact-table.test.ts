import { describe, expect, test } from 'vitest';
import { factTable } from '../../src/result/fact-table.js';
import { anEndpoint, aPlan, aSighting } from '../support/evidence.js';
import { aFact, serviceFacts } from '../support/facts.js';
import { aMatrix, type Found, LINK, seen } from '../support/matrix.js';

const A = 'vault-1/A/mgmt';
const B = 'vault-1/B/mgmt';
const plan = aPlan({
  endpoints: [anEndpoint(A, { address: '192.0.2.11' }), anEndpoint(B, { address: '192.0.2.12' })],
});

/** Column title -> text of its cell, by endpoint. */
function cells(found: Readonly<Record<string, Found>>) {
  const { columns, rows, unasked, from } = factTable(
    aMatrix(plan, (id) => found[id] ?? { verdict: 'matches' }),
  );
  const told = rows.map(({ cells: own, from: seenFrom }) => ({
    from: seenFrom,
    ...Object.fromEntries(
      columns.map(({ title }, index) => [title, own[index] && `${own[index].mark}: ${own[index].text}`]),
    ),
  }));
  return { told, unasked, from, titles: columns.map(({ title }) => title) };
}

describe('the matrix as a table of facts', () => {
  test('one column a fact, a column a service class, the worst mark of a cell first', () => {
    const { told, titles, unasked } = cells({
      [A]: {
        verdict: 'differs',
        facts: [
          aFact('address', 'matches'),
          ...serviceFacts('https ssh:refused https:8443'),
          aFact('link', 'matches', { measured: 'up' }),
          aFact('speed', 'differs', { planned: '10G', measured: '1G' }),
          aFact('switch-port', 'unproven', { planned: 'loft-switch 1/7' }),
          aFact('box', 'matches', { measured: 'vault-1-a' }),
        ],
      },
    });
    expect(titles).toEqual(['On the link', 'https', 'ssh', 'Device', 'Link and cable']);
    expect(told[0]).toMatchObject({
      'On the link': 'matches: there',
      ssh: 'differs: refused',
      Device: 'matches: the right one',
      'Link and cable': 'differs: 1G, planned 10G, up',
    });
    expect(unasked).toEqual(['Switch port: 1 fact planned, none could be tested.']);
    expect(told[1]).not.toHaveProperty('ssh', expect.anything());
  });

  test('what nobody could test is a sentence with its reason, not a column', () => {
    const { titles, unasked } = cells({
      [A]: {
        verdict: 'unproven',
        facts: [
          aFact('address', 'matches'),
          aFact('mtu', 'unproven', { planned: '9000', reason: 'ping is not installed' }),
        ],
      },
    });
    expect(titles).toEqual(['On the link']);
    expect(unasked).toEqual(['MTU: 1 fact planned, none could be tested: ping is not installed.']);
  });

  test('the round trip comes from the sighting, and stands there once', () => {
    const sightings = [seen('bench', aSighting('192.0.2.11', {}))];
    const { told } = cells({ [A]: { verdict: 'matches', facts: [aFact('echo', 'matches')], sightings } });
    expect(told[0]?.['Echo' as 'from']).toBe('matches: 0.4 ms');
  });

  test('a vantage is named only where it is another than usual, and where another saw something else', () => {
    const silent = { outcome: 'no-reply', sent: 2 } as const;
    const { told, from } = cells({
      [A]: {
        verdict: 'matches',
        facts: [aFact('address', 'matches'), aFact('echo', 'matches', { vantage: 'loft' })],
        sightings: [
          seen('bench', aSighting('192.0.2.11', { icmp: silent })),
          seen('loft', aSighting('192.0.2.11', {})),
        ],
      },
      [B]: { verdict: 'matches', facts: [aFact('address', 'matches'), aFact('box', 'matches')] },
    });
    expect(from).toBe('bench');
    expect(told[0]).toMatchObject({
      from: '',
      'On the link': 'matches: there',
      Echo: 'matches: 0.4 ms from loft, no reply from bench',
    });
  });

  test('what nobody could test for several reasons is told by an example; a name keeps its small letter', () => {
    const open = (reason: string) => ({
      verdict: 'matches' as const,
      facts: [aFact('address', 'matches'), aFact('vlan', 'unproven', { planned: '10', reason })],
    });
    const { unasked } = cells({
      [A]: open('loft-switch tells no VLAN with it'),
      [B]: open('data-switch tells no VLAN with it'),
    });
    expect(unasked).toEqual([
      'VLAN: 2 facts planned, none could be tested; for example: loft-switch tells no VLAN with it.',
    ]);
  });

  test('columns that nobody could test for one reason share a sentence', () => {
    const reason = 'this laptop has no address in mgmt';
    const { unasked } = cells({
      [A]: {
        verdict: 'unproven',
        facts: [
          aFact('address', 'unproven', { reason }),
          aFact('service', 'unproven', { service: 'ssh', planned: 'ssh', reason }),
          aFact('mtu', 'unproven', { planned: '9000', reason: 'ping is not installed' }),
        ],
      },
    });
    expect(unasked).toEqual([
      `On the link and ssh: 2 facts planned, none could be tested: ${reason}.`,
      'MTU: 1 fact planned, none could be tested: ping is not installed.',
    ]);
  });

  test('one vantage for all of a cell is named once', () => {
    const elsewhere = { planned: 'up', measured: 'up', vantage: 'loft' };
    const { told } = cells({
      [A]: {
        verdict: 'matches',
        facts: [
          aFact('address', 'matches'),
          aFact('echo', 'matches'),
          aFact('link', 'matches', elsewhere),
          aFact('switch-port', 'matches', { measured: 'data-switch-a port12', vantage: 'loft' }),
        ],
      },
    });
    expect(told[0]?.['Link and cable' as 'from']).toBe('matches: up, data-switch-a port12 (from loft)');
  });

  test('a result without facts shows what was seen as told, and its differences', () => {
    const { told } = cells({
      [A]: {
        verdict: 'differs',
        differences: [{ field: 'speed', planned: '10G', measured: '1G', evidence: 'ifHighSpeed' }],
        sightings: [seen('bench', aSighting('192.0.2.11', { answers: 'https' }), { link: LINK })],
      },
      [B]: { verdict: 'missing', sightings: [seen('bench', aSighting('192.0.2.12', { by: false }))] },
    });
    expect(told[0]).toMatchObject({
      'On the link': 'told: there',
      Echo: 'told: 0.4 ms',
      https: 'told: answers',
      'Link and cable': 'differs: 1G, planned 10G, up',
    });
    expect(told[1]?.['On the link' as 'from']).toBe('missing: nobody answers');
  });
});
