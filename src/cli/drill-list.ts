/** The whole pull test before anybody pulls: what, in which order, what is watched and what not, what was done. Pure. */
import {
  type DrillStep,
  isBlind,
  lastRecord,
  type Pull,
  type Unwatched,
  visibility,
} from '../drill/index.js';
import type { GroupResult } from '../matrix/matrix.js';
import type { DrillRecord } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { groupBy } from '../text/group-by.js';
import { count, list } from '../text/sentence.js';

export interface PullList {
  readonly site: string;
  readonly pulls: readonly Pull[];
  readonly groups: readonly GroupResult[];
  readonly records: readonly DrillRecord[];
  readonly watched: ReadonlySet<string>;
  readonly unwatched: readonly Unwatched[];
  /** From the plan alone: what really answers is not known yet. */
  readonly planned: boolean;
}

const WHY: Readonly<Record<Unwatched['why'], string>> = {
  'no-address': 'no address to ask (Fibre Channel or power)',
  'no-route': 'this laptop has no way to its network',
  'no-answer': 'it answers nothing now',
};

/** One line a reason, said before the first pull. Empty where all can be watched. */
export function unwatchedText(unwatched: readonly Unwatched[]): string {
  return [...groupBy(unwatched, ({ why }) => why)]
    .map(
      ([why, all]) =>
        `Cannot be watched from here: ${list(all.map(({ endpoint }) => cleanText(endpoint)))}: ${WHY[why]}.\n`,
    )
    .join('');
}

/** Pulls that nobody could see anything of. */
export function leftOutText(blind: readonly Pull[]): string {
  if (blind.length === 0) return '';
  const names = blind.map(({ pull }) => cleanText(`${pull.kind} ${pull.name}`));
  return `Left out, because nothing of it can be watched from here: ${list(names)}. Go where it can be watched, or add --unwatched.\n`;
}

export function pullListText(all: PullList): string {
  const { site, pulls, groups, planned } = all;
  const head = `Pull test of ${cleanText(site)}: ${count(pulls.length, 'pull')} for ${count(groups.length, 'group')}. Nothing was probed.`;
  const lines = pulls.map((pull, index) => pullText(pull, index + 1, all));
  const tail = planned
    ? 'What can be watched is known when the laptop is in place: an endpoint is watched where it answers.'
    : 'What can be watched is as the result tells it, from where that run looked.';
  return `${[head, ...lines, unwatchedText(all.unwatched) + tail].join('\n')}\n`;
}

function pullText(pull: Pull, number: number, all: PullList): string {
  const seen = isBlind(pull, all.groups, all.watched)
    ? '   Not watched: nothing of it can be seen over the network.'
    : pull.steps.every((step) => sees(step, all) === 'whole')
      ? `   ${all.planned ? 'Can be watched' : 'Watched'}.`
      : '   Watched in part: it would not be seen whether every group goes on.';
  const done = pull.steps.flatMap((step) => {
    const record = lastRecord(step, all.records);
    return record === undefined
      ? []
      : [`   Done before: ${cleanText(step.group)}: ${record.outcome}, by ${cleanText(record.by)}.`];
  });
  return [
    `${number}. ${pull.instruction} (${list(pull.steps.map(({ group }) => cleanText(group)))})`,
    `   These should stop answering: ${list(pull.affected)}. These should go on answering: ${list(pull.survivors)}.`,
    ...(pull.caution === undefined ? [] : [`   Mind: ${pull.caution}`]),
    seen,
    ...done,
  ].join('\n');
}

function sees(step: DrillStep, { groups, watched }: PullList): ReturnType<typeof visibility> {
  const group = groups.find(({ name }) => name === step.group);
  return group === undefined ? 'none' : visibility(step, group, watched);
}

/** For a program. */
export function pullListJson(all: PullList): string {
  const pulls = all.pulls.map(({ pull, steps, ...said }, index) => ({
    number: index + 1,
    ...pull,
    ...said,
    groups: steps.map((step) => ({
      group: step.group,
      affected: step.affected,
      survivors: step.survivors,
      expect: step.expect,
      watched: sees(step, all),
      outcome: lastRecord(step, all.records)?.outcome ?? '',
    })),
  }));
  return `${JSON.stringify({ format: 'matchmark.pull-test/1', site: all.site, planned: all.planned, pulls, unwatched: all.unwatched }, null, 1)}\n`;
}
