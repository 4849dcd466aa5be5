/**
 * Addresses that the kernel will not send to, for every reason it has (ip-route(8), from memory: unreachable, prohibit, blackhole), with a
 * port that has no link, a broadcast address and a link-local address without its port. Each is an outcome; nothing ends the program.
 */
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { NoWay } from './no-way-runner.js';
import { Lab, labRefusal } from './support/lab.js';

const refusal = await labRefusal();
if (refusal !== undefined) console.warn(`SKIPPED: questions without a way: ${refusal}`);

/** Address, why it cannot be reached, and the causes that say so. */
const WAYS = [
  ['198.51.100.1', 'no route at all', ['net-unreachable']],
  ['203.0.113.1', 'an unreachable route', ['host-unreachable']],
  ['203.0.113.65', 'a prohibiting route', ['not-permitted']],
  ['203.0.113.129', 'a route into a black hole', ['no-route']],
  ['192.0.2.255', 'the broadcast address of the link', ['not-permitted', 'net-unreachable']],
  // Linux lets a socket that is not connected send there by the first link-local route it has, to nobody.
  ['fe80::200:5eff:fe00:5301', 'a link-local address without its port', ['no-route', 'timeout']],
  ['2001:db8::1', 'an IPv6 network without a route', ['net-unreachable', 'no-route']],
] as const;

describe.skipIf(refusal !== undefined)('a question without a way', () => {
  let lab: Lab;
  let asked: readonly NoWay[];

  beforeAll(async () => {
    lab = new Lab();
    const script = path.join(lab.folder, 'no-way-runner.cjs');
    await build({
      entryPoints: [fileURLToPath(new URL('no-way-runner.ts', import.meta.url))],
      outfile: script,
      bundle: true,
      platform: 'node',
      format: 'cjs',
      logLevel: 'error',
    });
    const bench = await lab.addSwitch('bench');
    const laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', addresses: ['192.0.2.5/24'] },
    ]);
    await laptop.must('ip', ['route', 'add', 'unreachable', '203.0.113.0/26']);
    await laptop.must('ip', ['route', 'add', 'prohibit', '203.0.113.64/26']);
    await laptop.must('ip', ['route', 'add', 'blackhole', '203.0.113.128/26']);
    const output = await laptop.must(process.execPath, [script, ...WAYS.map(([address]) => address)]);
    asked = JSON.parse(output) as NoWay[];
  });
  afterAll(() => lab.remove());

  it.each(WAYS)('%s, %s, is an outcome with its cause', (address, _why, causes) => {
    const outcomes = asked.find((one) => one.address === address)?.outcomes ?? [];
    expect(outcomes).toHaveLength(5);
    for (const { asked: what, outcome, cause } of outcomes) {
      // Without a credential there is another reason first.
      const expected = what === 'snmp without a credential' ? [...causes, 'no-credential'] : [...causes];
      expect([what, outcome]).toEqual([what, expect.stringMatching(/^(?:unreachable|not-run|nothing)$/)]);
      expect([what, expected]).toEqual([what, expect.arrayContaining([cause])]);
    }
  });
});
