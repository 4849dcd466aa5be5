import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { draftOf } from '../../src/draft/draft.js';
import { noteText } from '../../src/draft/notes.js';
import { equipmentOf } from './equipment.js';

const FIXTURE = readFileSync(new URL('../../fixtures/equipment.yaml', import.meta.url), 'utf8');

const list = (networks: string, count: number, more = '') =>
  equipmentOf(
    `equipment: 1\nnetworks:\n${networks}items:\n  - { name: press, count: ${count}, ports: [{ name: nic0, network: lan }]${more} }\n`,
  );
const lan = (rest: string) => `  - { name: lan, ${rest} }\n`;
const given = (networks: string, count: number, more = '') =>
  draftOf(list(networks, count, more)).endpoints.map(({ address }) => address);

describe('the example of the repository', () => {
  const draft = draftOf(equipmentOf(FIXTURE));

  test('counts by network, device and controller', () => {
    expect(draft.suffices).toBe(true);
    expect(draft.findings).toEqual([]);
    // RFC 4632 §3.1: 2^(32-24) less network and broadcast; counted by hand: .1-.9 reserved, .20 and .30-.39 in use.
    expect(draft.networks).toEqual([
      {
        network: 'mgmt',
        cidr: '192.0.2.0/24',
        usable: 254,
        reserved: 9,
        inUse: 11,
        free: 234,
        needed: 8,
        left: 226,
        short: 0,
      },
      expect.objectContaining({ network: 'data-a', usable: 126, free: 126, needed: 4, left: 122 }),
      expect.objectContaining({ network: 'data-b', usable: 126, free: 126, needed: 4, left: 122 }),
    ]);
    expect(draft.devices.find(({ device }) => device === 'vault-2')).toEqual({
      device: 'vault-2',
      needed: 7,
      controllers: [
        { controller: 'A', needed: 3 },
        { controller: 'B', needed: 3 },
        { controller: '', needed: 1 },
      ],
      networks: { mgmt: 3, 'data-a': 2, 'data-b': 2 },
    });
  });

  test('gives the lowest free address first, in the order of the list, ports of A and B beside each other', () => {
    expect(draft.endpoints.slice(0, 8).map(({ id, address }) => `${id} ${address}`)).toEqual([
      'vault-1/A/mgmt 192.0.2.10',
      'vault-1/B/mgmt 192.0.2.11',
      'vault-1/A/data0 198.51.100.1',
      'vault-1/B/data0 198.51.100.2',
      'vault-1/A/data1 198.51.100.129',
      'vault-1/B/data1 198.51.100.130',
      'vault-1/cluster 192.0.2.12',
      'vault-2/A/mgmt 192.0.2.13',
    ]);
  });

  test('is the same every time', () => {
    expect(draftOf(equipmentOf(FIXTURE))).toEqual(draft);
  });
});

describe('the last address of a network', () => {
  test.each([
    // RFC 4632 §3.1 and RFC 1122 §3.2.1.3: two of a block are the network's own.
    ['198.51.100.0/29', 6],
    ['198.51.100.0/30', 2],
    // RFC 3021 §2.1: both addresses of a /31 are hosts.
    ['198.51.100.4/31', 2],
    ['198.51.100.4/32', 1],
    // RFC 4291 §2.6.1: the first of a /126 is the routers'; RFC 6164 §6: both of a /127 are hosts.
    ['2001:db8::/126', 3],
    ['2001:db8::/127', 2],
  ])('%s has %i, and not one more', (cidr, usable) => {
    const full = draftOf(list(lan(`cidr: "${cidr}"`), usable));
    expect(full).toMatchObject({ suffices: true, findings: [] });
    expect(new Set(full.endpoints.map(({ address }) => address)).size).toBe(usable);
    const over = draftOf(list(lan(`cidr: "${cidr}"`), usable + 1));
    expect(over.suffices).toBe(false);
    expect(over.networks[0]).toMatchObject({ usable, needed: usable + 1, left: 0, short: 1 });
    expect(over.findings).toMatchObject(
      [{ code: 'not-enough-addresses', severity: 'stop', subject: 'lan', evidence: [/lan/] }].map(
        (finding) => ({ ...finding, evidence: expect.anything() }),
      ),
    );
  });
});

describe('addresses that are not given out', () => {
  test('gateway, reserved, in use and factory defaults', () => {
    const network = lan(
      'cidr: 198.51.100.0/28, gateway: 198.51.100.2, reserved: [198.51.100.4-198.51.100.5], in-use: [198.51.100.7]',
    );
    expect(given(network, 4, ', default-addresses: [198.51.100.9]')).toEqual([
      '198.51.100.1',
      '198.51.100.3',
      '198.51.100.6',
      '198.51.100.8',
    ]);
    expect(given(network, 5, ', default-addresses: [198.51.100.9]')).toContain('198.51.100.10');
  });

  test('what is reserved and in use is counted once', () => {
    const { networks, findings } = draftOf(
      list(
        lan(
          'cidr: 198.51.100.0/29, gateway: 198.51.100.1, reserved: [198.51.100.1-198.51.100.3], in-use: [198.51.100.3-198.51.100.4]',
        ),
        3,
      ),
    );
    expect(networks).toMatchObject([{ usable: 6, reserved: 3, inUse: 1, free: 2, needed: 3, short: 1 }]);
    expect(findings[0]?.message).toBe(
      "lan (198.51.100.0/29) needs 3 addresses and has 2: 6 usable, 3 reserved or the gateway's, 1 in use.",
    );
  });

  test('a range of half a /64 costs nothing to skip', () => {
    const network = lan('cidr: "2001:db8::/64", reserved: ["2001:db8::/65"]');
    expect(given(network, 2)).toEqual(['2001:db8:0:0:8000::', '2001:db8::8000:0:0:1']);
  });

  test('networks that overlap never give one address twice, and the overlap is a finding', () => {
    const draft = draftOf(
      equipmentOf(`equipment: 1
networks:
  - { name: lan, cidr: 198.51.100.0/28 }
  - { name: wide, cidr: 198.51.100.0/24 }
items:
  - { name: press, count: 3, ports: [{ name: nic0, network: lan }, { name: nic1, network: wide }] }
`),
    );
    const addresses = draft.endpoints.map(({ address }) => address);
    expect(new Set(addresses).size).toBe(6);
    expect(draft.findings.map(({ code }) => code)).toContain('networks-overlap');
  });
});

describe('ports without an address', () => {
  const draft = draftOf(
    equipmentOf(`equipment: 1
networks: [{ name: lan, cidr: 198.51.100.0/28 }, { name: fabric-1 }]
items:
  - name: vault
    controllers: [A, B]
    snmp: site-ro
    ports:
      - { name: fc0, role: data, media: fc, network: fabric-1 }
      - { name: psu, role: power }
      - { name: odd, network: fabric-1 }
`),
  );

  test('Fibre Channel, power and a network without a block need none', () => {
    expect(draft.endpoints.map(({ address }) => address)).toEqual(Array.from({ length: 6 }));
    expect(draft.networks).toMatchObject([{ network: 'lan', needed: 0 }]);
    expect(draft.suffices).toBe(true);
  });

  test('what could not be carried over is said', () => {
    expect(draft.notes.map(noteText)).toEqual([
      'vault is asked with the SNMP credential site-ro: a credential stands in a plan under snmp, so write it there.',
      'vault odd gets no address: the network fabric-1 has no cidr.',
      'vault: all its ways to the data (fc0) are in fabric-1. Put them into two networks, so that no single one ends them all.',
    ]);
  });
});
