import type { Abilities } from '../sighting/types.js';
import type { AbilityDeps } from './abilities.js';
import { installHint } from './install-hint.js';

type Ping = Abilities['ping'];
type Flavour = NonNullable<Extract<Ping, { flavour?: unknown }>['flavour']>;

const TIMEOUT_MS = 5000;

/** Present, which kind, and whether it gets an answer from this machine itself: without the right to its socket it does not. */
export async function findPing(deps: AbilityDeps): Promise<Ping> {
  const { programs, platform } = deps.system;
  const count = platform === 'win32' ? '-n' : '-c';
  const tried = await programs.run('ping', [count, '1', '127.0.0.1'], { timeoutMs: TIMEOUT_MS });
  if (!tried.ran && tried.why === 'not-found')
    return {
      able: false,
      cause: 'not-installed',
      reason: 'ping is not installed',
      mend: installHint(platform, 'ping'),
    };
  if (!tried.ran)
    return {
      able: false,
      cause: 'not-permitted',
      reason: 'ping may not be run here',
      mend: rightHint(platform),
    };
  if (tried.exitCode !== 0) {
    const denied = /permi(ssion|tted)|denied/i.test(tried.stderr);
    const reason = denied ? 'ping is not permitted to this user' : 'ping got no answer even from 127.0.0.1';
    return {
      able: false,
      cause: denied ? 'not-permitted' : 'local-failure',
      reason,
      mend: rightHint(platform),
    };
  }
  return { able: true, ...(await kindOfPing(deps, tried.stdout)) };
}

async function kindOfPing(
  { system: { programs, platform } }: AbilityDeps,
  output: string,
): Promise<{ flavour: Flavour; version?: string }> {
  if (platform === 'win32') return { flavour: 'windows' };
  if (platform === 'darwin' || platform.endsWith('bsd')) return { flavour: 'bsd' };
  const told = await programs.run('ping', ['-V'], { timeoutMs: TIMEOUT_MS });
  const text = told.ran ? `${told.stdout}\n${told.stderr}` : '';
  const iputils = /iputils[ -]s?(\S+)/.exec(text)?.[1];
  if (iputils !== undefined) return { flavour: 'iputils', version: iputils };
  const busybox = /BusyBox v(\S+)/.exec(text)?.[1];
  // An old busybox says nothing of itself; its replies have `seq=` where others have `icmp_seq=`.
  if (busybox !== undefined || /\bseq=\d/.test(output.replaceAll('icmp_seq=', '')))
    return { flavour: 'busybox', ...(busybox === undefined ? {} : { version: busybox }) };
  return { flavour: 'other' };
}

function rightHint(platform: string): string {
  return platform === 'linux'
    ? 'sudo setcap cap_net_raw+ep "$(command -v ping)", or run it with sudo'
    : 'run it with administrator rights';
}
