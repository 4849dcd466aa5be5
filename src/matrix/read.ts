/** Reads matrix.json back: what the program relies on is checked, what an older version lacked is filled as unknown. */
import { MatchmarkError } from '../errors.js';
import { cleanText } from '../text/clean.js';
import type { Matrix } from './matrix.js';
import { matrixSchema } from './schema.js';

/** Problems named in one message; the rest are counted. */
const SHOWN = 3;

/** The result in a text. Throws MatchmarkError `result-invalid` that names file and places. `name` is for the message. */
export function readMatrix(content: string, name: string): Matrix {
  let value: unknown;
  try {
    value = JSON.parse(content.replace(/^\uFEFF/, ''));
  } catch (cause) {
    throw invalid(`${name} is not JSON, so it is no result of a run.`, cause);
  }
  return matrixOf(value, name);
}

export function matrixOf(value: unknown, name: string): Matrix {
  const format = typeof value === 'object' && value !== null && 'format' in value ? value.format : undefined;
  if (format !== 'matchmark.matrix/1')
    throw invalid(
      `${name} is no matrix of a run: its format is ${typeof format === 'string' ? `"${cleanText(format, 40)}"` : 'not said'}, expected "matchmark.matrix/1".`,
    );
  const parsed = matrixSchema.safeParse(value);
  // Keys that a later version adds stay.
  if (parsed.success) return { ...(value as object), ...parsed.data };
  const issues = parsed.error.issues
    .slice(0, SHOWN)
    .map(({ path, message }) => cleanText(`${path.join('.')}: ${message}`));
  const rest = parsed.error.issues.length - issues.length;
  throw invalid(
    `${name} is damaged or of another version: ${issues.join('; ')}${rest > 0 ? `; and ${rest} more` : ''}.`,
  );
}

function invalid(message: string, cause?: unknown): MatchmarkError {
  return new MatchmarkError('result-invalid', message, {
    ...(cause === undefined ? {} : { cause }),
    next: 'Give the matrix.json that "matchmark check" wrote, or the folder it stands in.',
  });
}
