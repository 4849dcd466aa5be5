import { MatchmarkError } from '../errors.js';
import type { Survey } from '../matrix/survey.js';
import { surveySchema } from '../matrix/survey-schema.js';

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
  return parsed.data;
}
