import { cleanText } from '../text/clean.js';
import { list } from '../text/sentence.js';
import type { Caution, Side } from './types.js';

const RUN: Readonly<Record<Side, string>> = { old: 'older', new: 'newer' };

/** What makes two results hard to compare, as a sentence. */
export function sayCaution(caution: Caution): string {
  switch (caution.caution) {
    case 'other-site':
      return `The runs are of different sites: ${cleanText(caution.old)} and ${cleanText(caution.new)}.`;
    case 'same-run':
      return 'Both results are of the same run: only what was added to it later can differ.';
    case 'other-way-round':
      return 'The second run is the older one: read "new" as gone and "gone" as new, or give them the other way round.';
    case 'other-stage':
      return `The stages differ: ${caution.old} before, ${caution.new} now.`;
    case 'other-places':
      return `The runs looked from different places: ${names(caution.old)} before, ${names(caution.new)} now. What could not be tested from one of them says nothing.`;
    case 'cut-short':
      return `The ${RUN[caution.side]} run was cut short: what it did not look at is unproven.`;
    case 'limited':
      return `The ${RUN[caution.side]} run looked at ${names(caution.only)} only.`;
    case 'no-facts':
      return `The ${RUN[caution.side]} result is of a version that told verdicts alone: each fact of it counts as unproven.`;
    case 'other-version':
      return `The results are of different versions of the program (${cleanText(caution.old)} and ${cleanText(caution.new)}): a finding that one of them does not know shows as new or gone.`;
    case 'other-plan':
      return `The plan is not the same (${names(caution.files)}): some changes are changes of the plan, not of the site.`;
  }
}

function names(all: readonly string[]): string {
  return list(all.map((name) => cleanText(name)));
}
