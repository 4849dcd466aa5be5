/**
 * What was asked while the laptop's own port was away, or what macOS kept from leaving, says nothing about the other side: silence then
 * becomes "not asked", with its cause. Answers stand.
 */
import { LOCAL_NETWORK_DENIED } from '../presence/local-network.js';
import { portAway } from '../presence/steps.js';
import type { Clock, Probe } from '../probe/types.js';
import type { NotRun, PresenceSighting, Vantage } from '../sighting/types.js';
import type { PortWatch } from '../system/port-watch.js';
import { reachOf } from '../vantage/reach.js';
import type { ProbeSet } from './probe-set.js';
import type { Surroundings } from './surroundings.js';

type Why = Omit<NotRun, 'outcome'>;

/** Outcomes that say "nothing came". */
const NOTHING_CAME: readonly string[] = ['no-reply', 'silent', 'smaller', 'unreachable'];

export interface AskedThrough {
  readonly surroundings: Surroundings;
  readonly probes: ProbeSet;
}

/** `watch` begins to watch the laptop's ports; it is ended with the listening. */
export function notRunWhilePortAway(
  { surroundings, probes }: AskedThrough,
  clock: Pick<Clock, 'now'>,
  watch: () => PortWatch,
): AskedThrough {
  let vantage: Vantage | undefined;
  let ports: PortWatch | undefined;
  const denied = new Set<string>();

  const whyNot = (address: string, outcome: string, sinceMs: number): Why | undefined => {
    if (vantage === undefined || !NOTHING_CAME.includes(outcome)) return undefined;
    const way = reachOf(vantage, address);
    if (way.loopback || way.interface === undefined) return undefined;
    if (ports?.lostSince(way.interface, sinceMs) === true) return portAway(way.interface);
    return outcome === 'unreachable' && way.reach === 'on-link' && denied.has(way.interface)
      ? LOCAL_NETWORK_DENIED
      : undefined;
  };

  /** Presence asks again by itself where its port was away (presence/ask-all.ts). */
  const noteDenied = (address: string, presence: PresenceSighting): void => {
    if (presence.outcome === 'not-run' && presence.cause === 'local-network-denied' && vantage !== undefined)
      denied.add(reachOf(vantage, address).interface ?? '');
  };

  /** A probe whose answer has its outcome in itself. */
  const watched =
    <Target extends { readonly address: string }, Outcome extends { readonly outcome: string }>(
      probe: Probe<Target, Outcome>,
      notRun: (outcome: Outcome, why: Why) => Outcome,
    ): Probe<Target, Outcome> =>
    async (target, patience, signal) => {
      const sinceMs = clock.now();
      const outcome = await probe(target, patience, signal);
      const why = whyNot(target.address, outcome.outcome, sinceMs);
      return why === undefined ? outcome : notRun(outcome, why);
    };

  return {
    surroundings: {
      ...surroundings,
      async vantage(name) {
        ports?.stop();
        ports = watch();
        vantage = await surroundings.vantage(name);
        return vantage;
      },
      findPresent: (request, signal, onFound) =>
        surroundings.findPresent(request, signal, (address, presence) => {
          noteDenied(address, presence);
          onFound(address, presence);
        }),
      async endListening() {
        const heard = await surroundings.endListening?.();
        const notes = [...(heard?.notes ?? []), ...(ports?.notes() ?? [])];
        ports?.stop();
        return { ownNeighbours: [], ...heard, notes };
      },
    },
    probes: {
      ...probes,
      icmp: watched(probes.icmp, (_, why) => ({ outcome: 'not-run', ...why })),
      tcp: watched(probes.tcp, ({ port, service }, why) => ({ port, service, outcome: 'not-run', ...why })),
      iscsi: watched(probes.iscsi, (_, why) => ({ outcome: 'not-run', ...why })),
      mtu: watched(probes.mtu, (_, why) => ({ outcome: 'not-run', ...why })),
      prove: async (target, patience, signal) => {
        const sinceMs = clock.now();
        const answer = await probes.prove(target, patience, signal);
        const why = (outcome: string | undefined): Why | undefined =>
          outcome === undefined ? undefined : whyNot(target.address, outcome, sinceMs);
        const [proof, tcp, iscsi] = [answer.proof, answer.tcp, answer.iscsi].map((one) => why(one?.outcome));
        const { name, protocol, port } = target.service;
        return {
          ...answer,
          ...(proof === undefined
            ? {}
            : { proof: { service: name, protocol, port, outcome: 'not-run' as const, ...proof } }),
          ...(tcp === undefined ? {} : { tcp: { service: name, port, outcome: 'not-run' as const, ...tcp } }),
          ...(iscsi === undefined ? {} : { iscsi: { outcome: 'not-run' as const, ...iscsi } }),
        };
      },
      snmp: async (target, patience, signal) => {
        const sinceMs = clock.now();
        const answer = await probes.snmp(target, patience, signal);
        const why = whyNot(target.address, answer.sighting.outcome, sinceMs);
        if (why === undefined) return answer;
        const { service, protocol, port } = answer.proof;
        return {
          sighting: { outcome: 'not-run', ...why },
          proof: { service, protocol, port, outcome: 'not-run', ...why },
        };
      },
    },
  };
}
