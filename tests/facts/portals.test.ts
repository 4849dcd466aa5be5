import { describe, expect, test } from 'vitest';
import type { IscsiSighting } from '../../src/sighting/types.js';
import { judgeCabling } from '../cabling/judged.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting } from '../support/evidence.js';

const NETWORKS = [
  aNetwork('mgmt', '192.0.2.0/24'),
  aNetwork('data-a', '198.51.100.0/25'),
  aNetwork('data-b', '198.51.100.128/25'),
];
const A = '198.51.100.11';
const B = '198.51.100.139';

const iscsi = (id: string, address: string, services = 'iscsi-target') =>
  anEndpoint(id, { role: 'data', address, services });
const ENDPOINTS = [iscsi('vault-1/A/data0', A), iscsi('vault-1/B/data0', B)];

/** `198.51.100.11:3260,1` as in RFC 7143 §13.8. */
function lists(...portals: string[]): IscsiSighting {
  return {
    outcome: 'listed',
    targets: [
      {
        name: 'iqn.2030-01.example.loft:vault-1',
        portals: portals.map((text) => {
          const match = /^(.*?)(?::(\d+))?(?:,(\d+))?$/.exec(text);
          return {
            address: match?.[1] ?? text,
            port: Number(match?.[2] ?? 3260),
            ...(match?.[3] === undefined ? {} : { tag: Number(match[3]) }),
          };
        }),
      },
    ],
  };
}

function judge(answers: Readonly<Record<string, IscsiSighting | 'accepts'>>, endpoints = ENDPOINTS) {
  const plan = aPlan({ endpoints, networks: NETWORKS });
  const sightings = Object.entries(answers).map(([address, answer]) =>
    aSighting(address, {
      answers: 'iscsi-target',
      ...(answer === 'accepts' ? {} : { iscsi: answer }),
    }),
  );
  const { perEndpoint, findings } = judgeCabling(plan, [anEvidence({ sightings })]);
  const all = [...[...perEndpoint.values()].flatMap((one) => one.findings), ...findings];
  return { all, found: all.map((f) => `${f.code} ${f.subject}`), perEndpoint };
}

describe('portals, joined over all answers of one device', () => {
  test('both listed by one answer: as planned, with the portal group told', () => {
    const { found, perEndpoint } = judge({ [A]: lists(`${A},1`, `${B},2`), [B]: 'accepts' });
    expect(found).toEqual([]);
    expect(perEndpoint.get('vault-1/B/data0')?.reasons.join(' ')).toContain('portal group 2');
  });

  // standards.md part 7 (X): a general-purpose target lists only the portal that was asked.
  test('a target that lists only the portal asked has shown nothing of others: nothing is missing', () => {
    expect(judge({ [A]: lists(`${A},1`), [B]: 'accepts' }).found).toEqual([]);
    expect(judge({ [A]: lists(`${A},1`), [B]: lists(`${B},1`) }).found).toEqual([]);
  });

  // RFC 7143 appendix C (a): no TargetAddress means the address of the connection.
  test('a target without any TargetAddress is at the portal that was asked', () => {
    expect(judge({ [A]: lists(), [B]: 'accepts' }).found).toEqual([]);
  });

  test('missing where the device lists others and not this one, though it takes connections', () => {
    const third = iscsi('vault-1/A/data1', '198.51.100.12');
    const { all, found, perEndpoint } = judge({ [A]: lists(`${A},1`, '198.51.100.12,1'), [B]: 'accepts' }, [
      ...ENDPOINTS,
      third,
    ]);
    expect(found).toEqual(['portal-missing vault-1/B/data0']);
    expect(all[0]?.message).toContain(`${A}:3260`);
    expect(perEndpoint.get('vault-1/B/data0')?.differences).toMatchObject([
      { field: 'portals', measured: 'not listed' },
    ]);
  });

  test('one that takes no connection is another finding’s matter', () => {
    const third = iscsi('vault-1/A/data1', '198.51.100.12');
    expect(judge({ [A]: lists(`${A},1`, '198.51.100.12,1') }, [...ENDPOINTS, third]).found).toEqual([]);
  });

  test('another device’s list says nothing of this one', () => {
    const other = iscsi('jar-1/data0', '198.51.100.20');
    const more = iscsi('jar-1/data1', '198.51.100.21');
    const list = lists('198.51.100.20,1', '198.51.100.21,1');
    expect(judge({ '198.51.100.20': list, [A]: 'accepts' }, [...ENDPOINTS, other, more]).found).toEqual([]);
  });
});

describe('portals that nobody planned', () => {
  test('on the network that the plan keeps for the other path', () => {
    const { all, found, perEndpoint } = judge({ [A]: lists(`${A},1`, '198.51.100.140,1') });
    expect(found).toEqual(['portal-unplanned vault-1']);
    expect(all[0]?.message).toContain('network data-b, which the plan keeps for vault-1/B');
    // Nobody in data-b listed it, so the one that did differs.
    expect(perEndpoint.get('vault-1/A/data0')?.differences).toMatchObject([
      { field: 'portals', measured: 'lists 198.51.100.140:3260' },
    ]);
  });

  test('once, however many answers list it; the endpoint of its network differs', () => {
    const list = lists(`${A},1`, `${B},1`, '198.51.100.140,1');
    const { found, perEndpoint } = judge({ [A]: list, [B]: list });
    expect(found).toEqual(['portal-unplanned vault-1']);
    expect([...perEndpoint].filter(([, c]) => c.differences.length > 0).map(([id]) => id)).toEqual([
      'vault-1/B/data0',
    ]);
  });

  test.each([
    ['203.0.113.9', 'in no network of the plan'],
    ['192.0.2.50', 'network mgmt'],
    ['198.51.100.20', 'gives that address to jar-1/data0'],
  ])('%s: %s', (address, text) => {
    const other = iscsi('jar-1/data0', '198.51.100.20');
    const { all } = judge({ [A]: lists(`${A},1`, `${address},1`) }, [...ENDPOINTS, other]);
    expect(all.map((f) => f.code)).toEqual(['portal-unplanned']);
    expect(all[0]?.message).toContain(text);
  });

  test('a planned address on another port than planned', () => {
    expect(judge({ [A]: lists(`${A}:3261,1`) }).all.map((f) => f.message)).toEqual([
      expect.stringContaining(`${A}:3261`),
    ]);
    const endpoints = [iscsi('vault-1/A/data0', A, 'iscsi-target:3261')];
    expect(judge({ [A]: lists(`${A}:3261,1`) }, endpoints).found).toEqual([]);
  });

  test('IPv6 in other spellings is one address (RFC 5952)', () => {
    const endpoints = [iscsi('vault-1/A/data0', '2001:db8::11')];
    const sighted = lists();
    const listed = {
      ...sighted,
      targets: [
        {
          name: 'iqn.2030-01.example.loft:v',
          portals: [{ address: '2001:DB8:0:0::11', port: 3260, tag: 1 }],
        },
      ],
    } as IscsiSighting;
    expect(judge({ '2001:db8::11': listed }, endpoints).found).toEqual([]);
  });

  test('a portal given by name is not compared, and said', () => {
    const { found, perEndpoint } = judge({ [A]: lists(`${A},1`, 'vault.loft.example:3260,1') });
    expect(found).toEqual([]);
    expect(perEndpoint.get('vault-1/A/data0')?.reasons.join(' ')).toContain('vault.loft.example');
  });

  // RFC 7143 appendix C (c): five portals in three groups.
  test('the worked answer (c) of RFC 7143 against a plan that has four of its five portals', () => {
    const addresses = [
      '10.1.0.45:3000,1',
      '10.1.1.46:3000,1',
      '10.1.0.47:3000,2',
      '10.1.1.48:3000,2',
      '10.1.1.49:3000,3',
    ];
    const endpoints = ['10.1.0.45', '10.1.1.46', '10.1.0.47', '10.1.1.48'].map((address, n) =>
      iscsi(`array/${n < 2 ? 'A' : 'B'}/p${n}`, address, 'iscsi-target:3000'),
    );
    const { all } = judge({ '10.1.0.45': lists(...addresses) }, endpoints);
    expect(all.map((f) => f.message)).toEqual([expect.stringContaining('10.1.1.49:3000')]);
  });
});
