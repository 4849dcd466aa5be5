/** zod fields over written text: blank words are nothing, and a value is read by a reader that knows why it fails. */
import { z } from 'zod';
import { isBlank, type Reading, read, tidy } from './reading.js';

/** Text in files; numbers and booleans are what editors that know JSON Schema expect to be allowed. */
const scalar = z.union([z.string(), z.number(), z.boolean()]);

type Add = (issue: { code: 'custom'; message: string; params: Record<string, unknown> }) => void;

function take<T>(reading: Reading<T>, add: Add): T | undefined {
  if (reading.ok) return reading.value;
  add({
    code: 'custom',
    message: reading.expected,
    params: { issue: reading.code, ...(reading.nearest === undefined ? {} : { nearest: reading.nearest }) },
  });
  return undefined;
}

/** A value that may be missing. Editors offer the examples. */
export function optional<T>(
  reader: (text: string) => Reading<T>,
  description: string,
  examples: readonly string[] = [],
) {
  return scalar
    .optional()
    .transform((raw, ctx): T | undefined => {
      const text = tidy(String(raw ?? ''));
      return isBlank(text) ? undefined : take(reader(text), (issue) => ctx.addIssue(issue));
    })
    .meta({ description, ...(examples.length === 0 ? {} : { examples: [...examples] }) })
    .optional();
}

/** Free text that may be missing. */
export function label(description: string) {
  return optional<string>(read, description);
}

/** Free text that must be there. */
export function required(description: string) {
  return requiredAs<string>(read, description);
}

export function requiredAs<T>(reader: (text: string) => Reading<T>, description: string) {
  return scalar
    .transform((raw, ctx): T => {
      const text = tidy(String(raw));
      if (!isBlank(text)) return take(reader(text), (issue) => ctx.addIssue(issue)) ?? z.NEVER;
      ctx.addIssue({ code: 'custom', message: description, params: { issue: 'missing-value' } });
      return z.NEVER;
    })
    .describe(description);
}

/** Several values in one text (`https ssh`), or a list of such texts. */
export function list<T>(reader: (text: string) => Reading<readonly T[]>, description: string) {
  return z
    .union([scalar, z.array(scalar)])
    .optional()
    .transform((raw, ctx): readonly T[] => {
      const text = tidy([raw ?? ''].flat().join(' '));
      return isBlank(text) ? [] : (take(reader(text), (issue) => ctx.addIssue(issue)) ?? []);
    })
    .describe(description)
    .optional();
}

export const cell = {
  /** A list of values, each read alone; one value may stand without brackets. */
  listOf<T>(reader: (text: string) => Reading<T>, description: string) {
    const one = scalar.transform((raw, ctx): T => {
      const text = tidy(String(raw));
      return take(reader(text), (issue) => ctx.addIssue(issue)) ?? z.NEVER;
    });
    return z
      .union([z.array(one), one.transform((value) => [value])])
      .describe(description)
      .optional();
  },

  /** A list of names, or names in one text, separated by commas. */
  names(description: string) {
    return z
      .union([z.array(scalar), scalar])
      .transform((raw): string[] => {
        const parts = Array.isArray(raw) ? raw.map(String) : String(raw).split(/[,;]/);
        return parts.map(tidy).filter((part) => !isBlank(part));
      })
      .describe(description)
      .optional();
  },
};
