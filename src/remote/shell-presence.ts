/** Who claims an address on the links of a shell elsewhere: an echo makes the kernel ask, its neighbour table tells the answer. */
import pLimit from 'p-limit';
import type { PresenceRequest } from '../run/surroundings.js';
import type { PresenceSighting } from '../sighting/types.js';
import { decodeIpNeighText } from '../system/linux/neighbours.js';
import type { Programs } from '../system/program-types.js';

/** Addresses looked for at a time. */
const AT_ONCE = 32;
/** The kernel asks three times a series (ip-sysctl, mcast_solicit); nine questions lose all at a tenth of loss each way once in three million. */
const SERIES = 3;
const ASKED_A_SERIES = 3;
const TIMEOUT_MS = 30_000;

/** Exit status where a row from before could not be asked anew. */
const OLD_ROW = 8;

/**
 * `$1` the address, `$2` the port to ask by. Waits until the kernel knows: an entry that is old or open is asked about, and ends as
 * reachable or failed within seconds. One that was reachable before and gets no echo may be of a device that has gone since: the kernel keeps
 * it for half a minute. Whoever may has it asked anew; else it is waited for, with an echo a second.
 */
export function presenceScript(port: string | undefined): string {
  const [by, of, dev] =
    port === undefined ? ['', '', `d=\${b#* dev }; d=\${d%% *}`] : ['-I "$2"', 'dev "$2"', 'd=$2'];
  const row = `ip neigh show to "$1" ${of} 2>/dev/null`;
  const echo = `ping ${by} -c 1 -W 1 "$1" >/dev/null 2>&1 </dev/null`;
  return [
    `o=; b=$(${row}); ${echo} || case "$b" in *REACHABLE*) ${dev}; ip neigh change "$1" dev "$d" nud probe >/dev/null 2>&1 || o=1;; esac;`,
    `k=0; while :; do s=$(${row}) || exit 9;`,
    'case "$s" in *REACHABLE*) [ -z "$o" ] && break;; *PERMANENT*|*NOARP*|*FAILED*|"") break;; esac;',
    'k=$((k+1)); if [ -z "$o" ]; then [ "$k" -gt 10 ] && break; sleep 1;',
    `else [ "$k" -gt 20 ] && exit ${OLD_ROW}; ${echo} && break; fi; done; printf "%s\\n" "$s"`,
  ].join(' ');
}

export async function shellPresence(
  programs: Programs,
  { addresses, vantage }: Pick<PresenceRequest, 'addresses' | 'vantage'>,
  signal: AbortSignal,
  onFound: (address: string, presence: PresenceSighting) => void,
  port?: string,
): Promise<ReadonlyMap<string, PresenceSighting>> {
  const limit = pLimit(AT_ONCE);
  const own = new Map(
    vantage.interfaces.flatMap(({ addresses: all, mac }) =>
      all.map((one) => [one.split('/')[0] ?? one, mac]),
    ),
  );
  const settled = await Promise.all(
    addresses.map((address) =>
      limit(async () => {
        const mac = own.get(address);
        const presence = mac === undefined ? await ask(programs, address, signal, port) : ownAddress(mac);
        onFound(address, presence);
        return [address, presence] as const;
      }),
    ),
  );
  return new Map(settled);
}

async function ask(
  programs: Programs,
  address: string,
  signal: AbortSignal,
  port: string | undefined,
): Promise<PresenceSighting> {
  for (let series = 1; ; series += 1) {
    const result = await programs.run('sh', ['-c', presenceScript(port), 'sh', address, port ?? ''], {
      timeoutMs: TIMEOUT_MS,
      signal,
    });
    if (signal.aborted) return { outcome: 'not-run', cause: 'interrupted', reason: 'interrupted' };
    if (result.ran && result.exitCode === OLD_ROW)
      return {
        outcome: 'not-run',
        cause: 'not-permitted',
        reason:
          'the neighbour table of that place has it from before, and may not be asked anew by this login',
      };
    if (!result.ran || result.exitCode !== 0)
      return {
        outcome: 'not-run',
        cause: 'not-supported',
        reason: 'the neighbour table of that place could not be read (ip neigh)',
      };
    const presence = readPresence(result.stdout, address, series * ASKED_A_SERIES);
    if (presence.outcome !== 'unclaimed' || series >= SERIES) return presence;
  }
}

export function readPresence(text: string, address: string, asked: number): PresenceSighting {
  const read = decodeIpNeighText(text);
  const rows = read.ok ? read.value.filter((row) => row.address === address) : [];
  const macs = [
    ...new Set(rows.flatMap(({ mac, state }) => (mac === undefined || state === 'failed' ? [] : [mac]))),
  ];
  if (macs.length > 0)
    return {
      outcome: 'claimed',
      claims: macs.map((mac) => ({ mac, method: 'neighbour-table', count: 1 })),
      methods: ['neighbour-table'],
      macs,
      duplicateCheck: 'not-excluded',
      duplicateCheckReason: 'a shell elsewhere does not hear a second answer',
    };
  if (rows.length > 0) return { outcome: 'unclaimed', methods: ['neighbour-table'], asked };
  return {
    outcome: 'not-run',
    cause: 'local-failure',
    reason: 'the kernel of that place put no neighbour question',
  };
}

function ownAddress(mac: string): PresenceSighting {
  return {
    outcome: 'claimed',
    claims: [{ mac, method: 'own-address', count: 1 }],
    methods: ['own-address'],
    macs: [mac],
    duplicateCheck: 'not-excluded',
    duplicateCheckReason: 'a shell elsewhere does not hear a second answer',
  };
}
