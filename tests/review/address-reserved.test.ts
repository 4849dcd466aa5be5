import { expect, test } from 'vitest';
import { aNetwork, anEndpoint } from '../support/evidence.js';
import { brief, found } from './support.js';

const special = (address: string) =>
  found('address-reserved', { networks: [], endpoints: [anEndpoint('vault-1/A/mgmt', { address })] });

// Edges of the registry of RFC 6890 §2.2, RFC 3927 §2.1, RFC 1112 §4, RFC 4291 §2.7.
test.each<[string, string | undefined]>([
  ['0.0.0.0', '0.0.0.0/8'],
  ['0.255.255.255', '0.0.0.0/8'],
  ['1.0.0.0', undefined],
  ['126.255.255.255', undefined],
  ['127.0.0.1', '127.0.0.0/8'],
  ['127.255.255.255', '127.0.0.0/8'],
  ['128.0.0.1', undefined],
  ['169.253.255.255', undefined],
  ['169.254.0.0', '169.254.0.0/16'],
  ['169.254.255.255', '169.254.0.0/16'],
  ['169.255.0.0', undefined],
  ['192.0.0.8', '192.0.0.0/24'],
  ['192.0.1.0', undefined],
  ['192.88.99.1', '192.88.99.0/24'],
  ['223.255.255.255', undefined],
  ['224.0.0.1', '224.0.0.0/4'],
  ['239.255.255.255', '224.0.0.0/4'],
  ['240.0.0.1', '240.0.0.0/4'],
  ['255.255.255.255', '255.255.255.255/32'],
  ['::', '::/128'],
  ['::1', '::1/128'],
  ['::ffff:192.0.2.1', '::ffff:0:0/96'],
  ['64:ff9b::1', '64:ff9b::/96'],
  ['100::1', '100::/64'],
  ['100:0:0:1::1', undefined],
  ['2001::1', '2001::/32'],
  ['2001:10::1', '2001:10::/28'],
  ['2002:c000:204::1', '2002::/16'],
  ['fe80::1', 'fe80::/10'],
  ['febf:ffff::1', 'fe80::/10'],
  ['fec0::1', undefined],
  ['ff02::1', 'ff00::/8'],
])('address-reserved: %s lies in %s', (address, range) => {
  const findings = special(address);
  expect(brief(findings)).toEqual(range === undefined ? [] : ['fix vault-1/A/mgmt']);
  if (range !== undefined) expect(findings[0]?.message).toContain(` lies in ${range}, `);
});

// Ranges in which equipment is really run, taught and written about: RFC 1918, RFC 6598, RFC 5737, RFC 3849, RFC 2544, RFC 4193.
test.each([
  '10.0.0.1',
  '172.16.0.1',
  '172.31.255.254',
  '192.168.1.1',
  '100.64.0.1',
  '192.0.2.1',
  '198.51.100.1',
  '203.0.113.1',
  '198.18.1.1',
  '2001:db8::1',
  'fd00::1',
])('address-reserved: %s is ordinary here', (address) => {
  expect(special(address)).toEqual([]);
});

test('an address in a reserved range of the plan names the range and its network', () => {
  const mgmt = aNetwork('mgmt', '192.0.2.0/24', {
    gateway: '192.0.2.1',
    reserved: [{ first: '192.0.2.1', last: '192.0.2.9' }],
  });
  const at = (address: string) =>
    found('address-reserved', {
      networks: [mgmt],
      endpoints: [anEndpoint('vault-1/A/mgmt', { address })],
    });
  expect(at('192.0.2.9')[0]?.message).toBe(
    'vault-1/A/mgmt (192.0.2.9) lies in 192.0.2.1-192.0.2.9, which the plan reserves in mgmt.',
  );
  expect(at('192.0.2.10')).toEqual([]);
  // The gateway is told as address-is-gateway and not twice.
  expect(at('192.0.2.1')).toEqual([]);
});

test('a network that lies in a special range is told once, not once a row', () => {
  const endpoints = ['169.254.1.2', '169.254.1.3'].map((address, index) =>
    anEndpoint(`vault-${index}/mgmt`, { address }),
  );
  expect(
    brief(found('address-reserved', { networks: [aNetwork('auto', '169.254.0.0/16')], endpoints })),
  ).toEqual(['fix auto']);
});

test('a plan on the loopback is a rehearsal: one note', () => {
  const endpoints = [anEndpoint('vault-1/mgmt', { address: '127.10.0.2' })];
  const findings = found('address-reserved', { networks: [aNetwork('bench', '127.10.0.0/24')], endpoints });
  expect(brief(findings)).toEqual(['note bench']);
  expect(findings[0]?.message).toContain('the laptop, not the site');
});

test('several networks in one special range are told together', () => {
  const networks = [aNetwork('mgmt', '127.10.1.0/24'), aNetwork('data', '127.10.2.0/24')];
  const endpoints = [
    anEndpoint('vault-1/mgmt', { address: '127.10.1.2' }),
    anEndpoint('vault-1/data', { address: '127.10.2.2' }),
  ];
  const findings = found('address-reserved', { networks, endpoints });
  expect(brief(findings)).toEqual(['note mgmt']);
  expect(findings[0]?.message).toContain('The networks mgmt (127.10.1.0/24) and data (127.10.2.0/24) lie in');
  expect(findings[0]?.about).toEqual(['vault-1/mgmt', 'vault-1/data']);
});

test('a loopback network that the address list alone has is named once', () => {
  const [note] = found('address-reserved', {
    networks: [aNetwork('127.0.77.0/24', '127.0.77.0/24')],
    endpoints: [anEndpoint('vault-1/A/mgmt', { address: '127.0.77.11' })],
  });
  expect(note?.message).toMatch(/^The network 127\.0\.77\.0\/24 lies in 127\.0\.0\.0\/8, /);
});

test('what others on the site have already is kept from the plan as what is reserved', () => {
  const networks = [
    aNetwork('mgmt', '192.0.2.0/24', { inUse: [{ first: '192.0.2.20', last: '192.0.2.29' }] }),
  ];
  const findings = found('address-reserved', {
    networks,
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address: '192.0.2.20' }),
      anEndpoint('vault-1/B/mgmt', { address: '192.0.2.30' }),
    ],
  });
  expect(brief(findings.filter(({ message }) => message.includes('192.0.2.20-192.0.2.29')))).toEqual([
    'fix vault-1/A/mgmt',
  ]);
});
