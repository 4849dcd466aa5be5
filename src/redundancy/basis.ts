/** What a group's verdict rests on: things that were measured, or things that are only planned (DESIGN 6 and 7, `basis`). */
import type { GroupResult } from '../matrix/matrix.js';
import type { Requirement } from './things.js';

/** Where `independent` names nothing, these are what redundancy means (DESIGN 3 has them as the usual ones). */
const USUAL = ['controller', 'switch'];

export interface PathBasis {
  readonly id: string;
  readonly state: 'live' | 'dead' | 'unproven';
  readonly requires: readonly Requirement[];
}

/** `planned` as soon as one thing that decided was not measured. */
export function basisOf(paths: readonly PathBasis[], promised: readonly string[]): GroupResult['basis'] {
  const kinds = promised.length > 0 ? promised : USUAL;
  const deciding = paths
    .filter(({ state }) => state !== 'dead')
    .flatMap(({ requires }) => requires.flat())
    .filter(({ kind }) => kinds.includes(kind));
  return deciding.length > 0 && deciding.every(({ source }) => source === 'measured')
    ? 'measured'
    : 'planned';
}

/** Kinds that `independent` names, of which some path that is not dead has none, neither measured nor planned. */
export function unknownKinds(
  paths: readonly PathBasis[],
  promised: readonly string[],
): { readonly kind: string; readonly paths: readonly string[] }[] {
  const alive = paths.filter(({ state }) => state !== 'dead');
  return promised.flatMap((kind) => {
    const without = alive.filter(({ requires }) => !requires.flat().some((thing) => thing.kind === kind));
    return without.length === 0 ? [] : [{ kind, paths: without.map(({ id }) => id) }];
  });
}
