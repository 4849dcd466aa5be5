/** The types of matrix.json (DESIGN 7), from its schema. */
import type { z } from 'zod';
import type { matrixSchema } from './schema.js';
import type {
  capacitySchema,
  defaultSchema,
  differenceSchema,
  endpointSchema,
  endpointSightingSchema,
  equipmentSchema,
  factSchema,
  findingSchema,
  groupSchema,
  groupVerdictSchema,
  observationSchema,
  outcomeSchema,
  pathSchema,
  severitySchema,
  strangerSchema,
  summarySchema,
  thingSchema,
  verdictSchema,
} from './schema-parts.js';

export type { PlanModel } from './schema.js';

export type EndpointVerdict = z.infer<typeof verdictSchema>;
export type GroupVerdict = z.infer<typeof groupVerdictSchema>;
export type Severity = z.infer<typeof severitySchema>;
export type Difference = z.infer<typeof differenceSchema>;
export type EndpointSighting = z.infer<typeof endpointSightingSchema>;
export type EndpointResult = z.infer<typeof endpointSchema>;
/** One planned fact as matrix.json has it. The judge's own, with typed causes, is facts/fact.ts. */
export type FactResult = z.infer<typeof factSchema>;
export type DefaultResult = z.infer<typeof defaultSchema>;
export type StrangerResult = z.infer<typeof strangerSchema>;
export type Thing = z.infer<typeof thingSchema>;
export type PathResult = z.infer<typeof pathSchema>;
export type GroupResult = z.infer<typeof groupSchema>;
export type ObservationResult = z.infer<typeof observationSchema>;
export type NetworkCapacity = z.infer<typeof capacitySchema>;
export type EquipmentResult = z.infer<typeof equipmentSchema>;
export type OutcomeResult = z.infer<typeof outcomeSchema>;
export type Summary = z.infer<typeof summarySchema>;
/** A finding as it is written and shown. Made by findings/index.ts alone. */
export type Finding = z.infer<typeof findingSchema>;

/** What the judge makes of (plan, evidence). */
export interface Judgement {
  readonly endpoints: readonly EndpointResult[];
  readonly defaults: readonly DefaultResult[];
  readonly strangers: readonly StrangerResult[];
  readonly groups: readonly GroupResult[];
  readonly observations: readonly ObservationResult[];
  readonly findings: readonly Finding[];
}

export type Matrix = Readonly<z.infer<typeof matrixSchema>>;
