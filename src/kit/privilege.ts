import type { AbilityDeps } from './abilities.js';

/** Mandatory integrity labels High and System: what an elevated console has ([MS-DTYP] §2.4.2.4, from memory). SIDs are the same in every display language. */
const ELEVATED = /\bS-1-16-(12288|16384)\b/;
const TIMEOUT_MS = 5000;

/** Root, or an elevated Windows console. */
export async function findPrivilege({ programs, platform, effectiveUser }: AbilityDeps): Promise<boolean> {
  if (platform !== 'win32') return effectiveUser?.() === 0;
  const result = await programs.run('whoami', ['/groups'], { timeoutMs: TIMEOUT_MS });
  return result.ran && result.exitCode === 0 && ELEVATED.test(result.stdout);
}
