import { expect, it } from 'vitest';
import { knowsNoDontFragment, readTooLong } from '../../src/wire/mtu-output.js';
import { readPingOutput } from '../../src/wire/ping-output.js';
import { fixtureText } from './fixture.js';

it.each([
  ['iputils-router', { by: 'router', mtu: 1500 }],
  ['iputils-local', { by: 'local', mtu: 9000 }],
  ['iputils-v6-router', { by: 'router', mtu: 1500 }],
  ['iputils-v6-local', { by: 'local', mtu: 9000 }],
  ['macos-router', { by: 'router', mtu: 1500 }],
  ['macos-local', { by: 'local' }],
  // No word of Windows is read: what it refuses itself shows by the time it takes (path-mtu.test.ts).
  ['windows-en-local', undefined],
  ['windows-de-local', undefined],
  ['windows-es-local', undefined],
  ['windows-ja-local', undefined],
])('reads who found it too long: %s', (name, found) => {
  expect(readTooLong(fixtureText(`os-output/mtu-${name}.txt`))).toEqual(found);
});

it.each(['de', 'ja', 'pt'])('finds the router in %s by its address alone (ping-output.ts)', (language) => {
  const text = fixtureText(`os-output/mtu-windows-${language}-router.txt`);
  expect(readTooLong(text)).toBeUndefined();
  expect(readPingOutput(text, '198.51.100.7')).toMatchObject({
    rttsMs: [],
    unreachable: { by: '192.0.2.1' },
  });
});

it('takes an MTU of 0 for "not told" (RFC 1191 §5: old routers)', () => {
  expect(readTooLong('From 192.0.2.1 icmp_seq=1 Frag needed and DF set (mtu = 0)')).toEqual({ by: 'router' });
});

it.each([
  'iputils-replied',
  'iputils-silent',
  'iputils-host-unreachable',
  'macos-replied',
  'windows-en-silent',
])('finds nothing too long in %s', (name) => {
  expect(readTooLong(fixtureText(`os-output/ping-${name}.txt`))).toBeUndefined();
});

it('sees that a ping cannot set what it was asked to', () => {
  expect(knowsNoDontFragment(fixtureText('os-output/ping-busybox-bad-option.txt'))).toBe(true);
  expect(knowsNoDontFragment('ping: invalid -M argument: probe')).toBe(true);
  expect(knowsNoDontFragment(fixtureText('os-output/ping-iputils-replied.txt'))).toBe(false);
});
