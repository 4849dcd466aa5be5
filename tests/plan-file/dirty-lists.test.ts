/** Real lists are dirty (issue 2, point 2). Each file is kept byte for byte; the habits are common practice, no source. */
import { expect, test } from 'vitest';
import { loadPlan } from '../../src/plan-file/load.js';
import { errorsOf, lines, PLANS } from './helpers.js';

async function good(name: string) {
  const loaded = await loadPlan(`${PLANS}dirty/${name}`);
  if (!loaded.ok) throw new Error(lines(loaded.issues).join('\n'));
  return { plan: loaded.plan, issues: loaded.issues };
}

test('semicolons, byte order mark, CRLF, trailing blank rows, headers in other spellings', async () => {
  const { plan, issues } = await good('semicolons-bom-crlf.csv');
  expect(issues).toEqual([]);
  expect(
    plan.endpoints.map((one) => [one.id, one.role, one.address, one.prefixBits, one.switchPort]),
  ).toEqual([
    ['vault-1/A/mgmt', 'management', '192.0.2.11', 24, '1/0/1'],
    ['vault-1/B/mgmt', 'management', '192.0.2.12', 24, '1/0/2'],
  ]);
  expect(plan.endpoints.map((one) => one.defaultAddress)).toEqual(['203.0.113.200', '203.0.113.200']);
});

test('Windows-1252, and it says so', async () => {
  const { plan, issues } = await good('windows-1252.csv');
  // WHATWG Encoding, index windows-1252: DC is U+00DC, FC is U+00FC, 96 is U+2013.
  expect(plan.endpoints[0]?.note).toBe('\u00dcbergang B\u00fcro \u2013 rack 3');
  expect(issues.map((issue) => issue.code)).toEqual(['read-as-windows-1252']);
});

test('title rows above the header, unknown columns said once and kept', async () => {
  const { plan, issues } = await good('title-rows.csv');
  expect(plan.endpoints.map((one) => [one.id, one.extra, one.at.row])).toEqual([
    ['vault-1/mgmt', { 'No.': '1', 'IP plan': 'a' }, 5],
    ['vault-1/data0', { 'No.': '2', 'IP plan': 'b' }, 6],
  ]);
  expect(lines(issues)).toEqual([
    'title-rows.csv, row 4, column "No.": unknown column "No.", kept as a note',
    'title-rows.csv, row 4, column "IP plan": unknown column "IP plan", kept as a note',
  ]);
});

test('MAC addresses in the notations in use', async () => {
  const { plan } = await good('mac-notations.csv');
  expect(plan.endpoints.map((one) => one.mac)).toEqual([1, 2, 3, 4, 5].map((n) => `00:00:5e:00:53:0${n}`));
});

test('words that stand for nothing', async () => {
  const { plan, issues } = await good('blank-words.csv');
  const [open, , power] = plan.endpoints;
  expect(open).toMatchObject({
    id: 'vault-1/p0',
    address: undefined,
    mac: undefined,
    services: [],
    virtual: false,
  });
  expect(plan.endpoints[1]).toMatchObject({ id: 'vault-1/p1', speedMbps: undefined, mtu: undefined });
  expect(power).toMatchObject({ id: 'vault-1/psu', role: 'power', address: undefined });
  expect(lines(issues)).toEqual([
    'blank-words.csv, row 2, column "address": no address yet for vault-1/p0; it cannot be asked, only seen by SNMP, by the switches or by eye',
  ]);
});

test('speeds, MTUs and leading zeros with one meaning', async () => {
  const { plan } = await good('numbers.csv');
  expect(plan.endpoints.map((one) => [one.speedMbps, one.mtu])).toEqual([
    [10_000, 9000],
    [10_000, 9000],
    [10_000, 9000],
    [25_000, undefined],
    [1000, 1500],
    [2500, 1500],
  ]);
  expect(plan.endpoints[5]?.address).toBe('192.0.2.7');
});

test('tabs in UTF-16, as a spreadsheet saves "Unicode text"', async () => {
  const { plan } = await good('tabs-utf-16.txt');
  expect(plan.endpoints[0]).toMatchObject({ id: 'vault-1/mgmt', address: '192.0.2.11' });
});

test('blanks that do not look like blanks', async () => {
  const { plan } = await good('odd-blanks.csv');
  expect(plan.endpoints[0]).toMatchObject({
    device: 'vault - 1',
    port: 'mgmt',
    address: '192.0.2.11',
    prefixBits: 24,
  });
});

test('what has two meanings is refused, both named', async () => {
  const loaded = await loadPlan(`${PLANS}dirty/two-meanings.csv`);
  expect(lines(errorsOf(loaded.issues))).toEqual([
    'two-meanings.csv, row 2, column "address": "192.0.2.010" has two meanings, expected 192.0.2.10 (decimal) or 192.0.2.8 (octal), written without leading zeros',
    'two-meanings.csv, row 3, column "speed": "10" has two meanings, expected 10M or 10G',
    'two-meanings.csv, row 4, column "speed": "10 GB/s" has two meanings, expected 10G or 80G',
    'two-meanings.csv, row 5, column "mtu": "9k" has two meanings, expected 9000 or 9216',
    'two-meanings.csv, row 6, column "mtu": "jumbo" has two meanings, expected 9000 or 9216',
    'two-meanings.csv, row 7, column "services": "443" has two meanings, expected tcp/443 or udp/443',
  ]);
});
