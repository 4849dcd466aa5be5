/** What keeps two results from being quite comparable. */
import type { Matrix } from '../matrix/matrix.js';
import { cleanText } from '../text/clean.js';
import { list } from '../text/sentence.js';

export function cautionsOf(before: Matrix, now: Matrix): string[] {
  const cautions: string[] = [];
  const [old, fresh] = [before.run, now.run];
  if (before.plan.site !== now.plan.site)
    cautions.push(
      `The runs are of different sites: ${cleanText(before.plan.site)} and ${cleanText(now.plan.site)}.`,
    );
  if (old.id === fresh.id && old.startedAt === fresh.startedAt)
    cautions.push('Both results are of the same run: only what was added to it later can differ.');
  else if (fresh.startedAt < old.startedAt)
    cautions.push(
      'The second run is the older one: read "new" as gone and "cleared" as new, or give them the other way round.',
    );
  if (old.stage !== fresh.stage) cautions.push(`The stages differ: ${old.stage} before, ${fresh.stage} now.`);
  const places = [before, now].map(({ vantages }) => vantages.map(({ name }) => cleanText(name)).sort());
  const [from = [], since = []] = places;
  if (from.join('\n') !== since.join('\n'))
    cautions.push(
      `The runs looked from different places: ${list(from)} before, ${list(since)} now. What could not be tested from one of them says nothing.`,
    );
  for (const [run, word] of [
    [old, 'older'],
    [fresh, 'newer'],
  ] as const) {
    if (!run.complete) cautions.push(`The ${word} run was cut short: what it did not look at is unproven.`);
    if (run.only !== undefined)
      cautions.push(`The ${word} run looked at ${list(run.only.map((name) => cleanText(name)))} only.`);
  }
  if (old.version !== fresh.version)
    cautions.push(
      `The results are of different versions of the program (${cleanText(old.version)} and ${cleanText(fresh.version)}): one finding in other words is taken for the same.`,
    );
  if (digests(before) !== digests(now))
    cautions.push('The plan is not the same: some changes are changes of the plan, not of the site.');
  return cautions;
}

function digests({ plan }: Matrix): string {
  return plan.files
    .map(({ sha256 }) => sha256)
    .sort()
    .join();
}
