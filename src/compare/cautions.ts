/** What keeps two results from being quite comparable. */
import type { Matrix } from '../matrix/matrix.js';
import type { Caution, Side } from './types.js';

export function cautionsOf(before: Matrix, now: Matrix): Caution[] {
  const cautions: Caution[] = [];
  const [old, fresh] = [before.run, now.run];
  if (before.plan.site !== now.plan.site)
    cautions.push({ caution: 'other-site', old: before.plan.site, new: now.plan.site });
  if (old.id === fresh.id && old.startedAt === fresh.startedAt) cautions.push({ caution: 'same-run' });
  else if (fresh.startedAt < old.startedAt) cautions.push({ caution: 'other-way-round' });
  if (old.stage !== fresh.stage) cautions.push({ caution: 'other-stage', old: old.stage, new: fresh.stage });
  const [from, since] = [placesOf(before), placesOf(now)];
  if (from.join('\n') !== since.join('\n')) cautions.push({ caution: 'other-places', old: from, new: since });
  for (const [side, matrix] of [
    ['old', before],
    ['new', now],
  ] as const satisfies readonly (readonly [Side, Matrix])[]) {
    if (!matrix.run.complete) cautions.push({ caution: 'cut-short', side });
    if (matrix.run.only !== undefined) cautions.push({ caution: 'limited', side, only: matrix.run.only });
    if (!hasFacts(matrix)) cautions.push({ caution: 'no-facts', side });
  }
  if (old.version !== fresh.version)
    cautions.push({ caution: 'other-version', old: old.version, new: fresh.version });
  const files = otherFiles(before, now);
  if (files.length > 0) cautions.push({ caution: 'other-plan', files });
  return cautions;
}

/** Results of older versions tell verdicts alone. */
export function hasFacts({ endpoints }: Pick<Matrix, 'endpoints'>): boolean {
  return endpoints.length === 0 || endpoints.some(({ facts }) => facts.length > 0);
}

/** The newer run could have seen what the older one saw: silence in it says something. */
export function looksAsFar(before: Matrix, now: Matrix): boolean {
  const places = new Set(placesOf(now));
  return (
    now.run.complete &&
    now.run.only === undefined &&
    before.run.stage === now.run.stage &&
    placesOf(before).every((name) => places.has(name))
  );
}

function placesOf({ vantages }: Matrix): string[] {
  return vantages.map(({ name }) => name).sort();
}

/** A plan is what its files hold; a file that was only renamed is the same. */
function otherFiles(before: Matrix, now: Matrix): string[] {
  const [old, fresh] = [before.plan.files, now.plan.files];
  const held = (files: Matrix['plan']['files']) => new Set(files.map(({ sha256 }) => sha256));
  const [was, is] = [held(old), held(fresh)];
  return [
    ...new Set([
      ...old.filter(({ sha256 }) => !is.has(sha256)).map(({ name }) => name),
      ...fresh.filter(({ sha256 }) => !was.has(sha256)).map(({ name }) => name),
    ]),
  ].sort();
}
