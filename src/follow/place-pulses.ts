/** The pulses of the other places: what each of them knows of the plan's addresses, and what its pulse and its looks tell anew. */

import type { Plan } from '../plan/model.js';
import { type Within, within } from '../probe/bound.js';
import { type PulseTarget, pulseTargets } from '../pulse/pulse.js';
import type { Evidence } from '../sighting/types.js';
import type { Change } from './changes.js';
import { type AddressState, feltState, isNews, siteState, subjectsAt } from './state.js';

/** Asks from one place (`ssh://...`) until the signal aborts or the place fails. Never rejects. */
export type PulseElsewhere = (
  from: string,
  targets: readonly PulseTarget[],
  signal: AbortSignal,
  onChange: (address: string, alive: boolean) => void,
) => Promise<void>;

export interface PlacePulses {
  /** Takes what the places saw in a look that began then (performance.now()). Gives what a pulse had told otherwise. */
  looked(evidence: readonly Evidence[], beganMs: number): Change[];
  /** Starts a pulse at each place where none runs, of all that it can ask. */
  keepUp(places: readonly Evidence[]): void;
}

interface Place {
  readonly state: Map<string, AddressState>;
  /** Subjects that its pulse told of, and when. */
  readonly pulsedMs: Map<string, number>;
  running?: { readonly addresses: string; readonly stop: Within } | undefined;
}

/** `onNews` is told the place and its changes as they come. */
export function placePulses(
  plan: Plan,
  keep: PulseElsewhere | undefined,
  signal: AbortSignal,
  onNews: (from: string, changes: readonly Change[]) => void,
): PlacePulses {
  const places = new Map<string, Place>();

  /** One that failed, or that looked by one of its ports alone, has no pulse. */
  const placeOf = ({ vantage: { from, port }, failed }: Evidence): Place | undefined => {
    if (from === undefined || port !== undefined || failed !== undefined) return undefined;
    const place: Place = places.get(from) ?? { state: new Map(), pulsedMs: new Map() };
    places.set(from, place);
    return place;
  };
  const begin = (from: string, name: string, place: Place, evidence: Evidence): void => {
    const targets = pulseTargets(plan, evidence);
    const addresses = targets.map(({ address }) => address).join(' ');
    if (keep === undefined || signal.aborted || place.running?.addresses === addresses) return;
    place.running?.stop.end();
    place.running = undefined;
    if (targets.length === 0) return;
    const running = { addresses, stop: within(signal) };
    place.running = running;
    const until = running.stop.signal;
    const feel = (address: string, alive: boolean): void => {
      if (until.aborted) return;
      const subjects = subjectsAt(plan, address).filter((subject) => isNews(place.state.get(subject), alive));
      for (const subject of subjects) {
        place.state.set(subject, feltState(alive));
        place.pulsedMs.set(subject, performance.now());
      }
      const kind = alive ? 'answers' : 'silent';
      if (subjects.length > 0)
        onNews(
          from,
          subjects.map((subject) => ({ subject, kind, from: name })),
        );
    };
    void keep(from, targets, until, feel).finally(() => {
      running.stop.end();
      if (place.running === running) place.running = undefined;
    });
  };

  return {
    looked(evidence, beganMs) {
      const changes: Change[] = [];
      for (const one of evidence) {
        const { name } = one.vantage;
        const place = placeOf(one);
        if (place === undefined) continue;
        for (const [subject, now] of siteState(plan, one)) {
          const pulsedMs = place.pulsedMs.get(subject);
          if (pulsedMs !== undefined && pulsedMs >= beganMs) continue;
          const before = place.state.get(subject);
          place.state.set(subject, now);
          place.pulsedMs.delete(subject);
          // What no pulse told is told by the verdicts.
          if (pulsedMs === undefined || now.is === 'unknown' || !isNews(before, now.is === 'there')) continue;
          changes.push({ subject, kind: now.is === 'there' ? 'answers' : 'silent', from: name });
        }
      }
      return changes;
    },
    keepUp(all) {
      for (const one of all) {
        const place = placeOf(one);
        if (place !== undefined) begin(one.vantage.from ?? '', one.vantage.name, place, one);
      }
    },
  };
}
