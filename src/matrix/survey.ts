import type { z } from 'zod';
import type { surveyEntrySchema, surveySchema } from './survey-schema.js';

export type SurveyEntry = z.infer<typeof surveyEntrySchema>;
export type Survey = Readonly<z.infer<typeof surveySchema>>;
