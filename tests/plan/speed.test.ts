import fc from 'fast-check';
import { expect, test } from 'vitest';
import { formatSpeed, parseSpeed, readSpeed } from '../../src/plan/speed.js';

test.each([
  ['10G', 10_000],
  ['10 Gb/s', 10_000],
  ['10GbE', 10_000],
  ['10GBE', 10_000],
  ['10 Gbps', 10_000],
  ['10000', 10_000],
  ['10000.0', 10_000],
  ['25 Gbit/s', 25_000],
  ['1000M', 1000],
  ['1000 Mbit/s', 1000],
  ['100M', 100],
  ['2.5G', 2500],
  ['2,5G', 2500],
  ['400g', 400_000],
  ['1.6T', 1_600_000],
  ['16GFC', 16_000],
  ['32G FC', 32_000],
  // IEEE 802.3 names: the number counts Mb/s, or Gb/s where a G follows.
  ['10GBASE-SR', 10_000],
  ['1000BASE-T', 1000],
  ['10BASE-T', 10],
])('%s is %i Mb/s', (text, mbps) => {
  expect(parseSpeed(text)).toBe(mbps);
});

test.each([
  ['10', '10M', '10G'],
  ['100', '100M', '100G'],
  ['10 GB/s', '10G', '80G'],
  ['10GBps', '10G', '80G'],
])('%s has two meanings, %s and %s', (text, one, other) => {
  expect(readSpeed(text)).toEqual({ kind: 'two-meanings', meanings: [one, other] });
});

test.each(['', 'fast', '10X', '10/100/1000', '0', '0G', '-1G', '9999999999', '10 G light', 'auto'])(
  '%j has none',
  (text) => {
    expect(readSpeed(text)).toEqual({ kind: 'none' });
  },
);

test('what is printed reads back as the same speed', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 1_600_000 }), (mbps) => {
      expect(parseSpeed(formatSpeed(mbps))).toBeCloseTo(mbps, mbps >= 1_000_000 ? -4 : 6);
    }),
  );
});

test.each([
  [10_000, '10G'],
  [2500, '2.5G'],
  [100, '100M'],
  [1_600_000, '1.6T'],
])('%i Mb/s prints as %s', (mbps, text) => {
  expect(formatSpeed(mbps)).toBe(text);
});
