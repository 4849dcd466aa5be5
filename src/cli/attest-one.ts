/** One observation, as the options of `attest` say it: held against what the plan asks for. */
import { itemFor, type ObservationItem, plannedItems } from '../attest/open-items.js';
import { MatchmarkError } from '../errors.js';
import { meaningOfItem } from '../eyes/eyes.js';
import type { Matrix } from '../matrix/matrix.js';
import type { Attestation } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { nearestWord } from '../text/nearest.js';
import { list } from '../text/sentence.js';

export interface ObservationOptions {
  readonly subject?: string;
  readonly item?: string;
  readonly saw?: string;
  readonly by?: string;
  readonly asPlanned?: boolean;
  readonly notAsPlanned?: boolean;
  readonly extra?: boolean;
}

/** `at`: when it was seen. Throws MatchmarkError `usage` where something lacks, or the plan asks for no such thing. */
export function oneObservation(matrix: Matrix, options: ObservationOptions, at: string): Attestation {
  const { subject, item, saw, by } = requireAll(options);
  const agrees = saidAgreement(options);
  const given = { subject, item, saw, by, at, ...(agrees === undefined ? {} : { agrees }) };
  const look = itemFor(matrix, subject, item);
  if (look === undefined) {
    if (options.extra !== true) throw notPlanned(matrix, subject, item);
    return { ...given, extra: true };
  }
  if (agrees === undefined && meaningOfItem(saw, look.expect, item) === 'unclear') {
    const wanted = look.stated ? `"${look.expect}"` : 'as it should be';
    throw new MatchmarkError('usage', `whether "${saw}" is ${wanted} cannot be told from the words`, {
      next: `Say it with --as-planned or --not-as-planned, or use the words of the plan: --saw "${look.expect}".`,
    });
  }
  return given;
}

function saidAgreement({ asPlanned, notAsPlanned }: ObservationOptions): boolean | undefined {
  if (asPlanned === true && notAsPlanned === true)
    throw new MatchmarkError('usage', '--as-planned and --not-as-planned exclude each other', {
      next: 'Give one of them, or neither where the words say it.',
    });
  if (asPlanned === true) return true;
  return notAsPlanned === true ? false : undefined;
}

function requireAll(options: ObservationOptions): Record<'subject' | 'item' | 'saw' | 'by', string> {
  const { subject, item, saw, by } = options;
  const given = { subject, item, saw, by };
  const absent = Object.entries(given).flatMap(([name, value]) =>
    value === undefined || value.trim() === '' ? [`--${name}`] : [],
  );
  if (absent.length > 0)
    throw new MatchmarkError('usage', `an observation needs ${list(absent)}`, {
      next: 'Say what was looked at (--subject), what of it (--item), what was seen (--saw) and by whom (--by).',
    });
  return {
    subject: cleanText(subject ?? ''),
    item: cleanText(item ?? ''),
    saw: cleanText(saw ?? ''),
    by: cleanText(by ?? ''),
  };
}

/** With the nearest that the plan does ask for. */
function notPlanned(matrix: Matrix, subject: string, item: string): MatchmarkError {
  const items = plannedItems(matrix);
  const known = new Set([
    ...items.map((look) => look.subject),
    ...matrix.plan.model.devices.map(({ name }) => name),
    ...matrix.groups.map(({ name }) => name),
  ]);
  const anyway = 'Record it all the same with --extra.';
  if (!known.has(subject)) {
    const near = nearestWord(subject, known);
    return new MatchmarkError('usage', `the plan has nothing called "${subject}"`, {
      next:
        near === undefined
          ? `It asks for ${examples(items)}. ${anyway}`
          : `Did you mean "${near}"? ${anyway}`,
    });
  }
  const there = items.filter((look) => look.subject === subject);
  const near = nearestWord(
    item,
    there.map((look) => look.item),
  );
  const look = there.find((one) => one.item === near);
  return new MatchmarkError('usage', `the plan does not ask for "${item}" of ${subject}`, {
    next: `${
      look !== undefined
        ? `Did you mean "${look.item}"?`
        : there.length > 0
          ? `Of ${subject} it asks for ${list([...new Set(there.map((one) => one.item))])}.`
          : `It asks for ${examples(items)}.`
    } ${anyway}`,
  });
}

function examples(items: readonly ObservationItem[]): string {
  return list(
    items.map(({ subject, item }) => `${subject}: ${item}`),
    3,
  );
}
