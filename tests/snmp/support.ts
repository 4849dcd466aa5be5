import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { promisify } from 'node:util';
import { Secret } from '../../src/plan/secret.js';
import type { ResolvedSnmp } from '../../src/probe/types.js';
import { openSession, type SnmpSession } from '../../src/snmp/session.js';

const run = promisify(execFile);

export function community(port: number, version: '1' | '2c' = '2c', text = 'loft-read'): ResolvedSnmp {
  return { name: 'site-ro', version, port, community: new Secret(text) };
}

export function open(
  credential: ResolvedSnmp,
  patience = { timeoutMs: 500, attempts: 2 },
  signal = new AbortController().signal,
): SnmpSession {
  const session = openSession('127.0.0.1', credential, patience, signal);
  if ('unusable' in session) throw new Error(session.unusable);
  return session;
}

/** Where the net-snmp programs are not installed the comparison is left out, loudly. */
export const HAS_SNMPWALK = existsSync('/usr/bin/snmpwalk');
if (!HAS_SNMPWALK) console.warn('SKIPPED: snmpwalk is not installed, nothing is held against it');

/** Lines `oid = TYPE: value` of the general-purpose tool, numeric throughout. */
export async function snmpwalk(
  port: number,
  oid: string,
  version: '1' | '2c' = '2c',
): Promise<readonly string[]> {
  const args = [`-v${version}`, '-c', 'loft-read', '-On', '-Oe', '-OU', `127.0.0.1:${port}`, oid];
  const { stdout } = await run('snmpwalk', args, {
    env: { ...process.env, MIBS: '' },
    maxBuffer: 64 * 1024 * 1024,
  });
  return stdout.split('\n').filter((line) => line.startsWith('.'));
}
