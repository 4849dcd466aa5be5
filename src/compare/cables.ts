/** Which cables end in another switch port than before: by forwarding table, LLDP or fabric login, never by what eyes read off a label. */
import type { EndpointResult } from '../matrix/matrix.js';
import { naturalOrder } from '../text/sentence.js';
import { factKey, turnOf } from './fact-changes.js';
import type { EndpointPair } from './told.js';
import type { CableMove } from './types.js';

/** `moving`: endpoints whose address may move between devices, and so has no one switch port. */
export function cableMoves(pairs: readonly EndpointPair[], moving: ReadonlySet<string>): CableMove[] {
  const moves = pairs.flatMap(({ before, now }): Omit<CableMove, 'swappedWith'>[] => {
    const [was, is] = [seenPortOf(before), seenPortOf(now)];
    if (moving.has(now.id) || was === '' || is === '' || was === is) return [];
    return [{ endpoint: now.id, before: was, now: is, turn: turnOfCable(before, now) }];
  });
  return moves.map((move) => {
    const other = moves.find((one) => one.before === move.now && one.now === move.before);
    return other === undefined ? move : { ...move, swappedWith: other.endpoint };
  });
}

/** Switch and port; several where the places see several (an aggregated link). */
function seenPortOf({ sightings }: EndpointResult): string {
  const ports = sightings.flatMap(({ cabling }) =>
    cabling === undefined ? [] : [`${cabling.switch} ${cabling.port}`],
  );
  return [...new Set(ports)].sort(naturalOrder).join(', ');
}

function turnOfCable(before: EndpointResult, now: EndpointResult): CableMove['turn'] {
  const fact = (endpoint: EndpointResult) => endpoint.facts.find((one) => factKey(one) === 'switch-port');
  const [was, is] = [fact(before), fact(now)];
  if (is === undefined) return 'unplanned';
  return turnOf(was?.state ?? 'unproven', is.state) ?? 'otherwise';
}
