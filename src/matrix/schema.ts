/** matrix.json, format `matchmark.matrix/1` (DESIGN 7): the one shape, of which the types and the JSON Schema are made. */
import { z } from 'zod';
import type { Plan } from '../plan/model.js';
import { evidenceSchema } from '../sighting/evidence.js';
import {
  capacitySchema,
  defaultSchema,
  endpointSchema,
  equipmentSchema,
  findingSchema,
  groupSchema,
  observationSchema,
  outcomeSchema,
  strangerSchema,
  summarySchema,
} from './schema-parts.js';
import { surveySchema } from './survey-schema.js';

const text = z.string();
/** What the plan says that a device would call itself. */
const patterns = z.record(z.string(), text.optional());

/** What rendering and judging again rely on. The model's own types are in plan/model.ts; keys of later versions are kept. */
const planModelSchema = z.looseObject({
  site: z.looseObject({ name: text }),
  networks: z.array(
    z.looseObject({
      name: text,
      cidr: text.optional(),
      routed: z.boolean(),
      reserved: z.array(z.unknown()),
      inUse: z.array(z.unknown()).default([]),
    }),
  ),
  devices: z.array(
    z.looseObject({
      name: text,
      feeds: z.array(text),
      defaultAddresses: z.array(text),
      macPrefixes: z.array(text),
      existing: z.boolean().default(false),
      identity: patterns,
      controllers: z.record(z.string(), patterns),
    }),
  ),
  endpoints: z.array(
    z
      .looseObject({
        id: text,
        device: text,
        port: text,
        role: text,
        switch: text.optional(),
        switchPort: text.optional(),
        switchPorts: z.array(z.looseObject({ switch: text, port: text.optional() })).optional(),
        services: z.array(z.looseObject({ name: text, protocol: z.enum(['tcp', 'udp']), port: z.number() })),
        virtual: z.boolean(),
      })
      // Results from before aggregated links name one member at most.
      .transform((endpoint) => ({
        ...endpoint,
        switchPorts:
          endpoint.switchPorts ??
          (endpoint.switch === undefined ? [] : [{ switch: endpoint.switch, port: endpoint.switchPort }]),
      })),
  ),
  groups: z.array(
    z.looseObject({ name: text, need: z.number(), independent: z.array(text), members: z.array(text) }),
  ),
  observe: z.array(z.looseObject({ subject: text, item: text, expect: text })),
  vantages: z.array(z.looseObject({ name: text, ssh: text })).default([]),
  availability: z.array(z.looseObject({ kind: text, value: z.number() })),
});

/** The normalised plan without any secret, so that a result can be judged and drawn again without the files. */
export type PlanModel = Omit<Plan, 'snmp'>;

export const matrixSchema = z.object({
  format: z.literal('matchmark.matrix/1'),
  run: z
    .object({
      id: text,
      startedAt: text,
      finishedAt: text,
      complete: z.boolean(),
      stage: z.enum(['power-on', 'configured']),
      version: text,
      only: z.array(text).readonly().optional(),
      /** Who looked, for the title of the page (`check --by`). */
      by: text.optional(),
    })
    .readonly(),
  plan: z
    .object({
      site: text,
      reference: text.optional(),
      files: z.array(z.object({ name: text, sha256: text }).readonly()).readonly(),
      model: planModelSchema.transform((model) => model as unknown as PlanModel),
    })
    .readonly(),
  vantages: z
    .array(
      z
        .object({
          name: text,
          platform: text,
          interfaces: z
            .array(z.object({ name: text, mac: text, addresses: z.array(text).readonly() }).readonly())
            .readonly(),
        })
        .readonly(),
    )
    .readonly(),
  /** Absent in results of older versions: reading works it out again. */
  outcome: outcomeSchema.optional(),
  endpoints: z.array(endpointSchema).readonly(),
  defaults: z.array(defaultSchema).readonly(),
  strangers: z.array(strangerSchema).readonly(),
  groups: z.array(groupSchema).readonly(),
  observations: z.array(observationSchema).readonly(),
  findings: z.array(findingSchema).readonly(),
  equipment: z.array(equipmentSchema).readonly().default([]),
  capacity: z.array(capacitySchema).readonly().default([]),
  summary: summarySchema,
  /** The survey of `--since`, so that the result can be judged again against it. */
  survey: surveySchema.optional(),
  /** Everything seen, by vantage, for `combine` and `report`. Sightings of planned addresses stand at the endpoints. */
  evidence: z.array(evidenceSchema).readonly(),
});
