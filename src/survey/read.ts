import { z } from 'zod';
import { MatchmarkError } from '../errors.js';
import { identitySchema } from '../sighting/schema.js';
import type { Survey } from './types.js';

const text = z.string();
/** Loose: keys that a later version adds are kept. */
export const surveySchema = z.looseObject({
  format: z.literal('matchmark.survey/1'),
  takenAt: text,
  vantage: text,
  site: text,
  complete: z.boolean(),
  entries: z.array(
    z.looseObject({
      address: text,
      macs: z.array(text),
      maker: text.optional(),
      network: text.optional(),
      kind: z.enum(['planned', 'default', 'other']),
      endpoint: text.optional(),
      devices: z.array(text),
      identity: identitySchema,
      icmp: z.looseObject({ outcome: text }),
      tcp: z.array(z.looseObject({ port: z.number(), outcome: text })),
    }),
  ),
  asked: z.looseObject({
    planned: z.number(),
    defaults: z.number(),
    networks: z.array(z.looseObject({ network: text, addresses: z.number() })),
  }),
  silent: z.array(text),
  unproven: z.array(z.looseObject({ address: text, reason: text })),
  findings: z.array(z.looseObject({ code: text, severity: z.enum(['stop', 'fix', 'note']) })),
});

/** The survey in a text. Throws MatchmarkError `result-invalid` naming the first place that is wrong. `name` is for the message. */
export function readSurvey(content: string, name: string): Survey {
  let value: unknown;
  try {
    value = JSON.parse(content);
  } catch (cause) {
    throw new MatchmarkError('result-invalid', `${name} is not JSON, so it is no survey.`, {
      cause,
      next: 'Give the survey.json that "matchmark survey" wrote.',
    });
  }
  const parsed = surveySchema.safeParse(value);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const place =
      issue === undefined || issue.path.length === 0 ? 'at its top' : `at ${issue.path.join('.')}`;
    throw new MatchmarkError(
      'result-invalid',
      `${name} is no survey: ${place}: ${issue?.message ?? 'wrong shape'}.`,
      {
        next: 'Give the survey.json that "matchmark survey" wrote.',
      },
    );
  }
  return parsed.data as unknown as Survey;
}
