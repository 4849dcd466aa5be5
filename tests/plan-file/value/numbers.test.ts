import { expect, test } from 'vitest';
import {
  readAvailability,
  readHours,
  readMtu,
  readPort,
  readUnits,
  readVlan,
} from '../../../src/plan-file/value/numbers.js';

test.each([
  ['1500', 1500],
  ['9000.0', 9000],
  ['9,000', 9000],
  ['9216 bytes', 9216],
  // RFC 791 §3.2: every link passes 68 octets.
  ['68', 68],
])('MTU %s', (text, value) => {
  expect(readMtu(text)).toEqual({ ok: true, value });
});

test.each(['67', '65536', '9k', '9K', 'jumbo', '1.5', '-1', 'x'])('MTU %s is refused', (text) => {
  expect(readMtu(text).ok).toBe(false);
});

test.each([
  // IEEE 802.1Q: 0 and 4095 are reserved (from memory).
  ['1', true],
  ['4094', true],
  ['0', false],
  ['4095', false],
])('VLAN %s fits: %s', (text, ok) => {
  expect(readVlan(text).ok).toBe(ok);
});

test.each([
  ['0', false],
  ['65535', true],
  ['65536', false],
])('port %s fits: %s', (text, ok) => {
  expect(readPort(text).ok).toBe(ok);
});

test.each([
  ['11', { from: 11, to: 11 }],
  ['11-13', { from: 11, to: 13 }],
  ['13-11', { from: 11, to: 13 }],
  ['U11-U13', { from: 11, to: 13 }],
])('units %s', (text, value) => {
  expect(readUnits(text)).toEqual({ ok: true, value });
});

test.each(['0', '61', '1-2-3', 'top'])('units %s are refused', (text) => {
  expect(readUnits(text).ok).toBe(false);
});

test.each([
  ['0.999', 0.999],
  ['99.95%', 0.9995],
  ['1', 1],
])('availability %s', (text, value) => {
  const reading = readAvailability(text);
  expect(reading.ok ? reading.value : Number.NaN).toBeCloseTo(value, 12);
});

test.each(['0', '1.01', '101%', '99', 'high'])('availability %s is refused', (text) => {
  expect(readAvailability(text).ok).toBe(false);
});

test('hours are above nothing', () => {
  expect(readHours('4.5')).toEqual({ ok: true, value: 4.5 });
  expect(readHours('0').ok).toBe(false);
});
