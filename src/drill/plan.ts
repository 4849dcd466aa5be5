/** Group -> what to pull, one thing at a time, and what should survive it (DESIGN 4, `drill`). Pure. */
import type { GroupResult, PathResult, Thing } from '../matrix/matrix.js';
import { count, list } from '../text/sentence.js';

/** Least harm first: a cable, a card; then a device; then power. A network cannot be pulled, and a port is pulled as its cable. */
const PULLED: readonly string[] = ['cable', 'adapter', 'controller', 'switch', 'feed'];

export interface DrillStep {
  readonly group: string;
  readonly pull: Thing;
  /** What to do, one sentence for the person at the rack. */
  readonly instruction: string;
  /** How to undo it. */
  readonly restore: string;
  /** Endpoints that should stop answering. */
  readonly affected: readonly string[];
  /** Endpoints of the group that should go on answering. */
  readonly survivors: readonly string[];
  /** Whether the group should go on working. */
  readonly expect: 'survives' | 'lost';
  /** Said before anyone pulls. */
  readonly caution?: string | undefined;
}

/**
 * Steps for every thing that live paths of the group run through, cables included. A group without a working path has
 * none: there is nothing to prove. A step that ends the group is planned too, and says so.
 */
export function planDrill(groups: readonly GroupResult[]): DrillStep[] {
  return groups.flatMap(planGroup);
}

function planGroup(group: GroupResult): DrillStep[] {
  const live = group.paths.filter((path) => path.state === 'live');
  if (live.length < group.need) return [];
  return thingsToPull(live).map((pull) => stepFor(group, live, pull));
}

function thingsToPull(live: readonly PathResult[]): Thing[] {
  const things = new Map<string, Thing>();
  const add = (thing: Thing) =>
    things.set(`${thing.kind}\u0000${thing.name}`, { kind: thing.kind, name: thing.name });
  for (const id of live.flatMap((path) => path.endpoints)) add({ kind: 'cable', name: id });
  for (const thing of live.flatMap((path) => [...path.things, ...(path.either ?? []).flat()]))
    if (PULLED.includes(thing.kind)) add(thing);
  return [...things.values()].sort((a, b) => pullRank(a) - pullRank(b));
}

/** Place in the order of harm. */
export function pullRank({ kind }: Thing): number {
  return PULLED.indexOf(kind);
}

function stepFor(group: GroupResult, live: readonly PathResult[], pull: Thing): DrillStep {
  const lost = live.filter((path) => losesTo(path, pull));
  const left = live.filter((path) => !lost.includes(path));
  const survivors = [...new Set(left.flatMap((path) => path.endpoints))];
  const gone = [...new Set(lost.flatMap((path) => path.endpoints))].filter((id) => !survivors.includes(id));
  const expect = left.length >= group.need ? 'survives' : 'lost';
  return {
    group: group.name,
    pull,
    ...WORDS[wordFor(pull)](pull.name),
    affected: gone,
    survivors,
    expect,
    ...cautionFor(group, pull, expect, left.length, lost.length),
  };
}

/** Without an alternative; a device on two feeds lives through the loss of one. */
export function losesTo(path: PathResult, pull: Thing): boolean {
  if (pull.kind === 'cable') return path.endpoints.includes(pull.name);
  return path.things.some((thing) => thing.kind === pull.kind && thing.name === pull.name);
}

function cautionFor(
  group: GroupResult,
  pull: Thing,
  expect: DrillStep['expect'],
  left: number,
  lost: number,
): { readonly caution?: string } {
  const cautions: string[] = [];
  if (expect === 'lost')
    cautions.push(
      `This ends ${group.name}: ${count(left, 'path')} would be left and ${group.need} needed. Do it only if nothing uses the group yet, or skip it.`,
    );
  if (pull.kind === 'switch' || pull.kind === 'feed')
    cautions.push('Other groups and devices may hang on this too: ask before you do it.');
  if (lost === 0) cautions.push('Nothing of this group should notice.');
  return cautions.length === 0 ? {} : { caution: cautions.join(' ') };
}

type Word = 'cable' | 'adapter' | 'controller' | 'switch' | 'feed';

function wordFor({ kind }: Thing): Word {
  return kind === 'adapter' || kind === 'controller' || kind === 'switch' || kind === 'feed' ? kind : 'cable';
}

const WORDS: Readonly<Record<Word, (name: string) => { instruction: string; restore: string }>> = {
  cable: (name) => ({
    instruction: `Pull the network cable at ${name}.`,
    restore: `Put the cable at ${name} back into the same port until it latches.`,
  }),
  adapter: (name) => ({
    instruction: `Pull all cables at the adapter ${name}, one straight after the other.`,
    restore: `Put all cables at the adapter ${name} back into the same ports.`,
  }),
  controller: (name) => ({
    instruction: `Take the controller ${name} out of service the way its manual says (or pull all its network cables).`,
    restore: `Bring the controller ${name} back into service and wait until it is up.`,
  }),
  switch: (name) => ({
    instruction: `Switch off ${name} (or pull its cables to the group's ports).`,
    restore: `Switch ${name} on again and wait until it forwards.`,
  }),
  feed: (name) => ({
    instruction: `Switch off feed ${name} at the power unit. Work on the mains itself is for licensed people.`,
    restore: `Switch feed ${name} on again.`,
  }),
};

/** For a plan that nobody looked at yet: every path is taken to work. */
export function asIfLive(group: GroupResult): GroupResult {
  return { ...group, paths: group.paths.map((path) => ({ ...path, state: 'live' as const })) };
}

/** One line before the drill starts: `7 pulls test 2 groups; 1 of them would end a group`. */
export function summariseDrill(steps: readonly DrillStep[]): string {
  const pulls = new Set(steps.map(({ pull }) => `${pull.kind}\u0000${pull.name}`)).size;
  const groups = [...new Set(steps.map((step) => step.group))];
  const ending = steps.filter((step) => step.expect === 'lost');
  const tail =
    ending.length === 0
      ? ''
      : `; ${count(ending.length, 'pull')} would end a group (${list([...new Set(ending.map((step) => step.group))])})`;
  return `${count(pulls, 'pull')} for ${count(groups.length, 'group')}${tail}`;
}
