import { expect, test } from 'vitest';
import type { Reading } from '../../../src/plan-file/reading.js';
import {
  readMacPrefix,
  readMedia,
  readRole,
  readServices,
  readYesNo,
} from '../../../src/plan-file/value/words.js';

const names = (reading: Reading<readonly { name: string; port: number }[]>) =>
  reading.ok ? reading.value.map((one) => `${one.name}:${one.port}`) : reading.expected;

test.each([
  ['https ssh', ['https:443', 'ssh:22']],
  ['HTTPS, SSH; snmp', ['https:443', 'ssh:22', 'snmp:161']],
  ['https:8443 tcp/9000', ['https:8443', 'tcp/9000:9000']],
  ['443/tcp', ['tcp/443:443']],
  ['ssh ssh', ['ssh:22']],
  ['https https:8443', ['https:443', 'https:8443']],
  ['', []],
])('services %j', (text, services) => {
  expect(names(readServices(text))).toEqual(services);
});

test.each([
  ['htps', 'https'],
  ['smb', 'microsoft-ds'],
  ['htps:8443', 'https:8443'],
  ['iscsi-targt', 'iscsi-target'],
  ['frobnicate', undefined],
  ['tcp/99999', undefined],
])('the service %s is refused; offered instead: %s', (text, nearest) => {
  const reading = readServices(text);
  expect(reading.ok).toBe(false);
  expect(reading.ok ? '' : reading.nearest).toBe(nearest);
});

test.each([
  ['Management', 'management'],
  ['mgmt', 'management'],
  ['DATA', 'data'],
])('role %s', (text, value) => {
  expect(readRole(text)).toEqual({ ok: true, value });
});

test('the wrong word is repeated only where the cell has others beside it', () => {
  expect(readServices('htps')).toMatchObject({
    expected: expect.not.stringContaining('htps is none'),
    nearest: 'https',
  });
  expect(JSON.stringify(readServices('htps'))).not.toContain('is none');
  expect(readServices('ssh htps')).toMatchObject({ expected: expect.stringContaining('"htps" is none') });
});

test('a role that is none offers the nearest', () => {
  expect(readRole('managment')).toMatchObject({ ok: false, nearest: 'management' });
  expect(readRole('storage')).toMatchObject({
    ok: false,
    expected: 'management, data, host, switch, power or other',
    nearest: undefined,
  });
});

test.each([
  ['fiber', 'fibre'],
  ['FC', 'fc'],
  ['Fibre Channel', 'fc'],
  ['copper', 'copper'],
])('media %s is %s', (text, value) => {
  expect(readMedia(text)).toEqual({ ok: true, value });
});

test.each([
  ['yes', true],
  ['X', true],
  ['1', true],
  ['FALSE', false],
  ['no', false],
])('%s is %s', (text, value) => {
  expect(readYesNo(text)).toEqual({ ok: true, value });
});

test.each([
  ['00:00:5e', '00:00:5e'],
  ['00-00-5E-00-53', '00:00:5e:00:53'],
  ['0000.5e', '00:00:5e'],
  ['00005E', '00:00:5e'],
  ['00', '00'],
])('MAC prefix %s', (text, value) => {
  expect(readMacPrefix(text)).toEqual({ ok: true, value });
});

test.each(['', '0', '00:0', '00:00:5e:00:53:01:02', '00:zz', '00:00-5e'])('%j is no MAC prefix', (text) => {
  expect(readMacPrefix(text).ok).toBe(false);
});
