import { expect, it } from 'vitest';
import { decodeKeys } from '../../../src/wire/iscsi/keys.js';
import { parseTargetAddress, targetsFrom } from '../../../src/wire/iscsi/targets.js';
import { WORKED_ANSWERS } from '../../support/scripted-iscsi-target.js';
import { mustDecode } from '../fixture.js';

const CONNECTION = { address: '192.0.2.45', port: 3261 };
const list = (text: string) => targetsFrom(mustDecode(decodeKeys(Buffer.from(text))), CONNECTION);

const DISK = 'iqn.1993-11.com.example:diskarray.sn.8675309';
const OTHER = 'iqn.1993-11.com.example:diskarray.sn.1234567';
const BOTH_WAYS = [
  { address: '10.1.0.45', port: 3000, tag: 1 },
  { address: '10.1.1.45', port: 3000, tag: 2 },
];

it('RFC 7143 appendix C (a): no address means that of the connection', () => {
  expect(mustDecode(list(WORKED_ANSWERS.a))).toEqual({
    targets: [{ name: DISK, portals: [{ address: '192.0.2.45', port: 3261 }] }],
    unreadable: [],
    cut: 0,
  });
});

it('RFC 7143 appendix C (b): two targets, each at two portals', () => {
  expect(mustDecode(list(WORKED_ANSWERS.b)).targets).toEqual([
    { name: DISK, portals: BOTH_WAYS },
    { name: OTHER, portals: BOTH_WAYS },
  ]);
});

it('RFC 7143 appendix C (c): five portals in three groups', () => {
  const [target] = mustDecode(list(WORKED_ANSWERS.c)).targets;
  expect(target?.portals.map(({ address, tag }) => [address, tag])).toEqual([
    ['10.1.0.45', 1],
    ['10.1.1.46', 1],
    ['10.1.0.47', 2],
    ['10.1.1.48', 2],
    ['10.1.1.49', 3],
  ]);
});

/** The examples of RFC 7143 §13.8, and its default port and legal tag 0 (§13.9). */
it.each([
  ['10.0.0.1:5003,1', { address: '10.0.0.1', port: 5003, tag: 1 }],
  ['[1080:0:0:0:8:800:200C:417A],65', { address: '1080::8:800:200c:417a', port: 3260, tag: 65 }],
  ['[1080::8:800:200C:417A]:5003,1', { address: '1080::8:800:200c:417a', port: 5003, tag: 1 }],
  ['computingcenter.example.com,23', { address: 'computingcenter.example.com', port: 3260, tag: 23 }],
  ['192.0.2.45', { address: '192.0.2.45', port: 3260 }],
  ['192.0.2.45,0', { address: '192.0.2.45', port: 3260, tag: 0 }],
])('reads %s', (text, portal) => {
  expect(parseTargetAddress(text)).toEqual(portal);
});

it.each([
  ['nothing', ''],
  ['IPv6 without brackets', '2001:db8::45,1'],
  ['IPv4 in brackets', '[192.0.2.45]:3260,1'],
  ['an IPv4 address of five parts', '192.0.2.45.6:3260,1'],
  ['an IPv4 address out of range', '192.0.2.450:3260,1'],
  ['port 0', '192.0.2.45:0,1'],
  ['port 65536', '192.0.2.45:65536,1'],
  ['tag 65536', '192.0.2.45:3260,65536'],
  ['a word after the tag', '192.0.2.45:3260,1 or so'],
  ['markup', '<b>array</b>:3260,1'],
])('refuses %s', (_, text) => {
  expect(parseTargetAddress(text)).toBeUndefined();
});

it('keeps what can be read where one address cannot, and says which', () => {
  expect(
    mustDecode(
      list('TargetName=iqn.2001-04.com.example\0TargetAddress=no:way:1\0TargetAddress=192.0.2.46:3260,1\0'),
    ),
  ).toEqual({
    targets: [{ name: 'iqn.2001-04.com.example', portals: [{ address: '192.0.2.46', port: 3260, tag: 1 }] }],
    unreadable: ['no:way:1'],
    cut: 0,
  });
});

it('joins a target named twice, and portals told twice', () => {
  const text = 'TargetName=iqn.2001-04.com.example\0TargetAddress=192.0.2.46:3260,1\0';
  expect(mustDecode(list(text + text)).targets).toHaveLength(1);
  expect(mustDecode(list(text + text)).targets[0]?.portals).toHaveLength(1);
});

it('makes terminal sequences and long names in what a target says harmless', () => {
  const { targets } = mustDecode(list(`TargetName=iqn.\u001b[2J\u202e${'x'.repeat(4000)}\0`));
  expect(targets[0]?.name).not.toMatch(/[\u001b\u202e]/);
  expect(targets[0]?.name.length).toBeLessThan(300);
});

it('refuses an address that belongs to no target; an empty list is a list', () => {
  expect(list('TargetAddress=192.0.2.46:3260,1\0')).toMatchObject({ ok: false, why: 'malformed' });
  expect(mustDecode(list(''))).toEqual({ targets: [], unreadable: [], cut: 0 });
});

it('cuts a list that no array can mean, and says how much was left out', () => {
  const pairs: [string, string][] = [['TargetName', 'iqn.2001-04.com.example:flood']];
  for (let index = 0; index < 2000; index += 1)
    pairs.push(['TargetAddress', `198.51.100.1:${1000 + index},1`]);
  for (let index = 0; index < 100; index += 1) pairs.push(['TargetAddress', `no address ${index}`]);
  const list = targetsFrom(pairs, { address: '198.51.100.1', port: 3260 });
  if (!list.ok) throw new Error(list.detail);
  expect(list.value.targets[0]?.portals).toHaveLength(256);
  expect(list.value.unreadable).toHaveLength(32);
  expect(list.value.cut).toBe(1744 + 68);
});

it('keeps a bounded number of targets, and leaves no portal out that another target names', () => {
  const text = Array.from({ length: 3000 }, (_, target) =>
    [
      `TargetName=iqn.2001-04.com.example:${target}\0`,
      'TargetAddress=198.51.100.1:3260,1\0TargetAddress=198.51.100.2:3260,2\0',
    ].join(''),
  ).join('');
  const { targets, cut } = mustDecode(list(text));
  expect(targets).toHaveLength(256);
  expect(cut).toBe(0);
  const last = mustDecode(list(`${text}TargetAddress=198.51.100.3:3260,3\0`));
  expect(last.cut).toBe(1);
});
