import { mkdirSync, mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { expect, test } from 'vitest';
import { loadPlan } from '../../src/plan-file/load.js';
import { workMs } from '../support/work.js';
import { errorsOf, folder, lines, load } from './helpers.js';

const LIST = 'device,port,address\nvault-1,mgmt,192.0.2.11/24\n';
/** PNG §5.2: the eight signature bytes, then the start of a header chunk. */
const PNG = Uint8Array.from([
  0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 0x0d, 0x49, 0x48, 0x44, 0x52,
]);

async function soleError(file: string): Promise<string> {
  const loaded = await loadPlan(file);
  expect(loaded.ok).toBe(false);
  const errors = errorsOf(loaded.issues);
  expect(lines(errors)).toHaveLength(1);
  return lines(errors)[0] ?? '';
}

test('an absent file', async () => {
  expect(await soleError('/nonexistent/plan.yaml')).toBe('plan.yaml: there is no file');
});

test('a directory', async () => {
  expect(await soleError(folder({}))).toMatch(/: this is a folder, expected a plan/);
});

test.each(['plan.yaml', 'plan.json', 'list.csv', 'list.xlsx', 'plan'])('an empty %s', async (name) => {
  expect(await soleError(path.join(folder({ [name]: '' }), name))).toMatch(/^\S+: the file is empty/);
});

test.each([' \n\n\t\n', '\ufeff', '\ufeff\r\n'])('blanks alone are empty as well: %j', async (text) => {
  expect(await soleError(path.join(folder({ 'list.csv': text }), 'list.csv'))).toMatch(/the file is empty/);
});

test.each(['plan.yaml', 'list.csv', 'list.xlsx', 'picture.png'])('a picture called %s', async (name) => {
  expect(await soleError(path.join(folder({ [name]: PNG }), name))).toMatch(/holds binary data/);
});

test('an old binary workbook is named as such', async () => {
  const bytes = Uint8Array.from([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1, 0, 0]);
  expect(await soleError(path.join(folder({ 'list.xls': bytes }), 'list.xls'))).toMatch(
    /save it as \.xlsx or \.csv/,
  );
});

test('a CSV of 50 MB is refused unread', async () => {
  const directory = folder({ 'list.csv': LIST });
  truncateSync(path.join(directory, 'list.csv'), 50_000_000);
  const before = process.memoryUsage().arrayBuffers;
  const started = workMs();
  const message = await soleError(path.join(directory, 'list.csv'));
  expect(message).toBe('list.csv: the file is too large to be a plan: found 50 MB, expected at most 16 MB');
  expect(workMs() - started).toBeLessThan(3000);
  expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(5_000_000);
});

test('a CSV just below the size limit ends with its number of rows', async () => {
  const text = `device,port,address\n${'vault-1,mgmt,192.0.2.11/24\n'.repeat(590_000)}`;
  expect(await soleError(path.join(folder({ 'list.csv': text }), 'list.csv'))).toMatch(/too many rows/);
});

test('YAML whose aliases multiply', async () => {
  const levels = Array.from({ length: 12 }, (_, i) =>
    i === 0
      ? 'a0: &a0 [x, x, x, x, x, x, x, x, x]'
      : `a${i}: &a${i} [${Array(9)
          .fill(`*a${i - 1}`)
          .join(', ')}]`,
  );
  const file = path.join(
    folder({ 'plan.yaml': `plan: 1\n${levels.join('\n')}\nendpoints: *a11\n` }),
    'plan.yaml',
  );
  const started = workMs();
  expect(await soleError(file)).toMatch(
    /^plan\.yaml, line \d+: the YAML aliases expand without reasonable bound/,
  );
  expect(workMs() - started).toBeLessThan(5000);
});

test('YAML that contains itself', async () => {
  const file = path.join(folder({ 'plan.yaml': 'plan: 1\nendpoints: &e\n  - *e\n' }), 'plan.yaml');
  expect(await soleError(file)).toMatch(/aliases expand/);
});

test.each([
  ['brackets', '['.repeat(100_000)],
  ['braces', '{"a":'.repeat(20_000)],
])('%s without end', async (_what, text) => {
  const loaded = await load({ 'plan.json': text }, 'plan.json');
  expect(loaded.ok).toBe(false);
  expect(errorsOf(loaded.issues)).toHaveLength(1);
});

test('several YAML documents', async () => {
  const file = path.join(folder({ 'plan.yaml': 'plan: 1\n---\nplan: 1\n' }), 'plan.yaml');
  expect(await soleError(file)).toMatch(/several YAML documents/);
});

test('the same key twice', async () => {
  const text = 'plan: 1\nsite: { name: A }\nsite: { name: B }\nendpoints: list.csv\n';
  expect(await soleError(path.join(folder({ 'plan.yaml': text, 'list.csv': LIST }), 'plan.yaml'))).toMatch(
    /^plan\.yaml, line 3: the key .*stands here twice/,
  );
});

test('headers that stand twice', async () => {
  const text = 'device,port,address,Address\nvault-1,mgmt,192.0.2.11,192.0.2.12\n';
  expect(await soleError(path.join(folder({ 'list.csv': text }), 'list.csv'))).toBe(
    'list.csv, row 1, column "Address": the header has the column "Address" twice (columns C and D of the sheet)',
  );
});

test('a plan that names an absent address list', async () => {
  const file = path.join(folder({ 'plan.yaml': 'plan: 1\nendpoints: addresses.csv\n' }), 'plan.yaml');
  expect(await soleError(file)).toBe('plan.yaml, line 2, endpoints: there is no file "addresses.csv"');
});

test.each([
  ['a header alone', 'device,port,address\n'],
  ['a header and blank rows', 'device,port,address\n,,\n\n,,\n'],
])('an address list with no usable row: %s', async (_what, text) => {
  expect(await soleError(path.join(folder({ 'list.csv': text }), 'list.csv'))).toMatch(/no usable row/);
});

test('an unknown network, where the plan lists networks', async () => {
  const plan = 'plan: 1\nnetworks:\n  - { name: mgmt, cidr: 192.0.2.0/24 }\nendpoints: list.csv\n';
  const list = 'device,port,address,network\nvault-1,mgmt,192.0.2.11,mgnt\n';
  expect(await soleError(path.join(folder({ 'plan.yaml': plan, 'list.csv': list }), 'plan.yaml'))).toBe(
    'list.csv, row 2, column "network": the plan has no network "mgnt" (it has mgmt); did you mean "mgmt"?',
  );
});

test('an unknown credential is said once for a whole column', async () => {
  const plan = 'plan: 1\nsnmp: { site-ro: { community: "env:X" } }\nendpoints: list.csv\n';
  const list = 'device,port,address,snmp\nvault-1,a,192.0.2.11/24,site-r0\nvault-1,b,192.0.2.12/24,site-r0\n';
  expect(await soleError(path.join(folder({ 'plan.yaml': plan, 'list.csv': list }), 'plan.yaml'))).toBe(
    'list.csv, row 2, column "snmp": the plan has no such credential under snmp "site-r0" (it has site-ro); did you mean "site-ro"?',
  );
});

test('every mistake of every file is said in one go', async () => {
  const plan = 'plan: 1\nnetworkz: []\ngroups:\n  - { name: g, need: none at all }\nendpoints: list.csv\n';
  const list = 'device,port,address,mac\nvault-1,a,192.0.2.300,xx\n,b,192.0.2.12,\n';
  const loaded = await load({ 'plan.yaml': plan, 'list.csv': list }, 'plan.yaml');
  expect(lines(errorsOf(loaded.issues)).sort()).toEqual([
    'list.csv, row 2, column "address": found "192.0.2.300", expected an IPv4 or IPv6 address',
    'list.csv, row 2, column "mac": found "xx", expected a MAC address as 00:00:5e:00:53:01',
    'list.csv, row 3, column "device": nothing here, expected name of the device',
    'plan.yaml, line 2, networkz: unknown key "networkz" (known here: plan, site, networks, devices, endpoints, groups, snmp, observe, vantages, availability); did you mean "networks"?',
    'plan.yaml, line 4, groups[0].need: found "none at all", expected a whole number from 1 to 1000',
  ]);
});

test('a socket or device is not read', async () => {
  expect(await soleError('/dev/null')).toMatch(/not a regular file/);
});

test('a name that no file can have', async () => {
  const directory = mkdtempSync(path.join(tmpdir(), 'matchmark-plan-'));
  mkdirSync(path.join(directory, 'sub'));
  writeFileSync(path.join(directory, 'sub', 'plan.yaml'), 'plan: 1\nendpoints: "a\\0b"\n');
  expect(await soleError(path.join(directory, 'sub', 'plan.yaml'))).toMatch(/cannot be read/);
  rmSync(directory, { recursive: true });
});
