/** Who was seen before a run was cut off, or early in it, and who was seen since. Pure. */
import type { AddressSighting, Claim, LldpNeighbour, PresenceSighting } from '../sighting/types.js';
import type { PresenceFacts } from './journal-entry.js';
import type { PresenceAnswer } from './surroundings.js';

/** The sighting with all who claimed its address by now; the same object where that is nobody new. */
export function withLatest(
  sighting: AddressSighting,
  latest: ReadonlyMap<string, PresenceSighting>,
): AddressSighting {
  const now = latest.get(sighting.address);
  if (now === undefined || now.outcome !== 'claimed') return sighting;
  const presence = mergeClaims(sighting.presence, now);
  return JSON.stringify(presence) === JSON.stringify(sighting.presence)
    ? sighting
    : { ...sighting, presence };
}

/** A second device seen once is seen, whatever the later look missed. */
function mergeClaims(
  before: PresenceSighting,
  now: PresenceSighting & { outcome: 'claimed' },
): PresenceSighting {
  if (before.outcome !== 'claimed') return now;
  const claims = new Map<string, Claim>(now.claims.map((claim) => [keyOf(claim), claim]));
  for (const claim of before.claims) if (!claims.has(keyOf(claim))) claims.set(keyOf(claim), claim);
  return {
    ...now,
    claims: [...claims.values()],
    methods: [...new Set([...now.methods, ...before.methods])],
    macs: [...new Set([...now.macs, ...before.macs])],
  };
}

/** With what a run that was cut off had settled. */
export function withEarlier(answer: PresenceAnswer, earlier: PresenceFacts | undefined): PresenceAnswer {
  if (earlier === undefined) return answer;
  return {
    presence: answer.presence,
    ownNeighbours: joinNeighbours(earlier.ownNeighbours, answer.ownNeighbours),
    proxyArp: [...earlier.proxyArp, ...answer.proxyArp],
    notes: [...new Set([...earlier.notes, ...answer.notes])],
  };
}

/** A neighbour heard again stands for itself as heard before. */
export function joinNeighbours(
  before: readonly LldpNeighbour[],
  now: readonly LldpNeighbour[],
): readonly LldpNeighbour[] {
  const key = ({ localPort, chassisId, portId }: LldpNeighbour) =>
    JSON.stringify([localPort, chassisId, portId]);
  return [...new Map([...before, ...now].map((neighbour) => [key(neighbour), neighbour])).values()];
}

/** A device that was heard in two ways has two claims: which of them came together is told by one of them alone. */
function keyOf({ mac, method, frameSource, vlan }: Claim): string {
  return [mac, method, frameSource ?? '', vlan ?? ''].join(' ');
}
