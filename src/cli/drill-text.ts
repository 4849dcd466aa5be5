/** Drill events for a person and for a pipe. Pure. */

import { COMMAND_HELP } from '../drill/commands.js';
import type { Pull } from '../drill/index.js';
import type { DrillEvent } from '../drill/pull-test.js';
import type { DrillRecord } from '../sighting/types.js';
import { list } from '../text/sentence.js';

const OUTCOMES: Readonly<Record<DrillRecord['outcome'], string>> = {
  survived: 'SURVIVED: the group went on working',
  lost: 'LOST: the group fell below what it needs',
  'not-noticed': 'NOT NOTICED: what should have gone away never did; was it the right thing?',
  unproven: 'UNPROVEN: too little could be watched from here to tell whether the group went on',
  skipped: 'skipped',
  aborted: 'stopped here',
};

export function eventText(event: DrillEvent): string {
  switch (event.event) {
    case 'pull': {
      const { pull, number, of, unwatched, away } = event;
      const lines = [
        '',
        `Step ${number} of ${of}, ${groupsOf(pull)}: ${pull.instruction}`,
        ...(pull.caution === undefined ? [] : [`  Mind: ${pull.caution}`]),
        `  These should stop answering: ${list(pull.affected)}. These should go on answering: ${list(pull.survivors)}.`,
        ...(unwatched.length === 0 ? [] : [`  Cannot be watched from here: ${list(unwatched)}.`]),
        ...(away.length === 0
          ? []
          : [`  Does not answer now: ${list(away)}. Bring it back before you pull.`]),
        `  ${COMMAND_HELP}`,
      ];
      return `${lines.join('\n')}\n`;
    }
    case 'gone':
      return `  - gone: ${event.endpoint}\n`;
    case 'back':
      return `  + back: ${event.endpoint}\n`;
    case 'restore':
      return `  ${event.pull.restore}\n`;
    case 'measured':
      return measuredText(event.record);
    case 'ask':
      return '  Enter = next, r = repeat this step, a = abort\n';
  }
}

function measuredText({ group, outcome, gaps, resolutionMs }: DrillRecord): string {
  const lines = gaps.map(
    ({ endpoint, gapMs, returned }) =>
      `    ${endpoint}: ${returned ? `gap ${seconds(gapMs)}` : `away for ${seconds(gapMs)} and not back`}`,
  );
  const measured = outcome !== 'skipped' && outcome !== 'aborted';
  const known = measured || gaps.length > 0 ? [`    (known to ${seconds(resolutionMs)})`] : [];
  return `${[`  ${group}: ${OUTCOMES[outcome]}`, ...lines, ...known].join('\n')}\n`;
}

function seconds(milliseconds: number): string {
  return `${(milliseconds / 1000).toFixed(1)} s`;
}

function groupsOf({ steps }: Pull): string {
  return list(steps.map(({ group }) => group));
}

function which({ pull, steps }: Pull): object {
  return { group: steps[0].group, groups: steps.map(({ group }) => group), kind: pull.kind, name: pull.name };
}

/** One JSON object a line. */
export function eventLine(event: DrillEvent): string {
  switch (event.event) {
    case 'pull': {
      const { pull, number, of, unwatched, away } = event;
      const { instruction, caution, affected, survivors, expect } = pull;
      const said = { instruction, caution, affected, survivors, expect, unwatched, away };
      return `${JSON.stringify({ event: 'pull', ...which(pull), number, of, ...said })}\n`;
    }
    case 'restore':
      return `${JSON.stringify({ event: 'restore', ...which(event.pull), instruction: event.pull.restore })}\n`;
    case 'ask':
      return `${JSON.stringify({ event: 'ask', commands: ['next', 'repeat', 'abort'] })}\n`;
    default:
      return `${JSON.stringify(event)}\n`;
  }
}
