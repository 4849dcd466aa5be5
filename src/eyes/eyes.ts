/** What eyes can prove of an endpoint where nothing measured it: which item stands for which fact, and what the words come to. */
import type { FactResult } from '../matrix/matrix.js';
import { FACT_KINDS } from '../matrix/schema-parts.js';
import type { Attestation } from '../sighting/types.js';
import { aboutSubjects } from './by-subject.js';
import { type Meaning, meaningOf, sameName, wordsOf } from './text-agrees.js';

type FactKind = FactResult['fact'];

/** First the name under which it is asked for, then others that are taken for it. */
const ITEMS: Partial<Record<FactKind, readonly [string, ...string[]]>> = {
  box: ['device label'],
  link: ['link light', 'link lamp'],
  light: ['link light', 'link lamp'],
  speed: ['speed', 'speed lamp', 'speed light', 'link speed'],
  'switch-port': ['switch port', 'cable label', 'label', 'switch port label'],
  vlan: ['VLAN'],
  mtu: ['MTU'],
  portals: ['portals'],
};
const OF_LIGHT: ReadonlySet<string> = new Set<FactKind>(['link', 'light']);

/** What is expected of a light that the plan says nothing of. */
export const LIT = 'lit';

export function itemOf(fact: FactKind): string | undefined {
  return ITEMS[fact]?.[0];
}

/** Facts that an item speaks of: `link light` of link and of light. */
export function factsOfItem(item: string): FactKind[] {
  return FACT_KINDS.filter((fact) => ITEMS[fact]?.some((name) => sameName(name, item)));
}

/** What eyes have to see for a fact, in words to compare with. */
export function expectedOf(fact: FactKind, planned: string): string {
  return OF_LIGHT.has(fact) ? LIT : planned;
}

/** Items that speak of a fact of their own are no word about the link light. */
export function isOtherFact(item: string): boolean {
  return Object.entries(ITEMS).some(
    ([fact, names]) => !OF_LIGHT.has(fact) && names.some((name) => sameName(name, item)),
  );
}

/** The latest attestation of this fact of this endpoint. */
export function attestationOfFact(
  attestations: readonly Attestation[],
  endpoint: string,
  fact: FactKind,
): Attestation | undefined {
  const names = ITEMS[fact];
  if (names === undefined) return undefined;
  return latestOf(
    aboutSubjects(attestations, [endpoint]).filter(({ item }) => names.some((name) => sameName(name, item))),
  );
}

/** Words first; where they cannot tell, what the person said it is. Undefined: nobody can tell. */
export function agreesWith({ saw, item, agrees }: Attestation, expect: string): boolean | undefined {
  const meaning = meaningOfItem(saw, expect, item);
  return meaning === 'unclear' ? agrees : meaning === 'agrees';
}

/** A label names a switch and a port: `loft-1 11` is `loft-1 port 11`. */
export function meaningOfItem(saw: string, expect: string, item: string): Meaning {
  const isLabel = (ITEMS['switch-port'] ?? []).some((name) => sameName(name, item));
  if (!isLabel) return meaningOf(saw, expect, item);
  const label = (text: string): string =>
    wordsOf(text)
      .filter((word) => word !== 'port' && word !== 'switch')
      .join(' ');
  return label(saw) === label(expect) ? 'agrees' : meaningOf(saw, expect, item);
}

export function latestOf(attestations: readonly Attestation[]): Attestation | undefined {
  return [...attestations].sort(
    (a, b) => order(b.at, a.at) || order(JSON.stringify(a), JSON.stringify(b)),
  )[0];
}

function order(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
