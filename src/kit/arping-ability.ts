import { flavourOfArping } from '../presence/arping-output.js';
import type { Abilities } from '../sighting/types.js';
import type { AbilityDeps } from './abilities.js';
import { installHint } from './install-hint.js';

const TIMEOUT_MS = 3000;
/** Who has not the right says so at once; who has it waits a second for an answer that never comes. */
const REFUSED_BY_MS = 400;

/** The socket is tried on the loopback port, which takes no ARP: the right shows itself and nothing reaches the wire. */
export async function findArping({ system }: AbilityDeps): Promise<Abilities['arping']> {
  const { programs, platform } = system;
  if (!system.hasArping)
    return {
      able: false,
      cause: 'not-supported',
      reason: 'there is no arping for this system',
      mend: installHint(platform, 'arping'),
    };
  const ask = (option: string) => programs.run('arping', [option], { timeoutMs: TIMEOUT_MS });
  const [told, version] = await Promise.all([ask('--help'), ask('-V')]);
  if (!told.ran && told.why === 'not-found')
    return {
      able: false,
      cause: 'not-installed',
      reason: 'arping is not installed',
      mend: installHint(platform, 'arping'),
    };
  if (!told.ran)
    return { able: false, cause: 'not-permitted', reason: 'arping may not be run by this user', mend: RIGHT };
  const text = [told, version]
    .map((result) => (result.ran ? `${result.stdout}\n${result.stderr}` : ''))
    .join('\n');
  const flavour = flavourOfArping(text);
  if (flavour === undefined)
    return { able: false, cause: 'not-supported', reason: 'this arping is of a kind that is not known here' };
  const loopback = platform === 'linux' ? 'lo' : 'lo0';
  const args =
    flavour === 'common'
      ? ['-c', '1', '-i', loopback, '127.0.0.1']
      : ['-c', '1', '-w', '1', '-I', loopback, '127.0.0.1'];
  const tried = await programs.run('arping', args, { timeoutMs: REFUSED_BY_MS });
  if (!tried.ran || /not permitted|permission|denied|need to run as root|required/i.test(tried.stderr))
    return {
      able: false,
      cause: 'not-permitted',
      reason: 'arping has not the right to its socket here',
      mend: RIGHT,
    };
  const number = /(?:iputils[ -]s?|BusyBox v|ARPing )([\w.]+)/.exec(text)?.[1];
  return { able: true, flavour, ...(number === undefined ? {} : { version: number }) };
}

const RIGHT = 'run it with sudo, or: sudo setcap cap_net_raw+ep "$(command -v arping)"';
