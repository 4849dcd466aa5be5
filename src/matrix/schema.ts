/** Reads matrix.json back. Loose: keys that a later version adds are kept; what the program relies on is checked. */
import { z } from 'zod';
import { MatchmarkError } from '../errors.js';
import { endpointSightingSchema, evidenceSchema, text } from '../sighting/schema.js';
import { surveySchema } from '../survey/read.js';
import { cleanText } from '../text/clean.js';
import type { Matrix } from './matrix.js';
import {
  capacitySchema,
  defaultSchema,
  findingSchema,
  groupSchema,
  observationSchema,
} from './schema-parts.js';

const endpointSchema = z.looseObject({
  id: text,
  device: text,
  controller: text,
  port: text,
  role: text,
  network: text,
  address: text,
  group: text,
  verdict: z.enum(['matches', 'differs', 'missing', 'unproven']),
  reasons: z.array(text),
  sightings: z.array(endpointSightingSchema),
  differences: z.array(z.looseObject({ field: text, planned: text, measured: text, evidence: text })),
});

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
      identity: z.looseObject({}),
      controllers: z.record(z.string(), z.looseObject({})),
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

export const matrixSchema = z.looseObject({
  format: z.literal('matchmark.matrix/1'),
  run: z.looseObject({
    id: text,
    startedAt: text,
    finishedAt: text,
    complete: z.boolean(),
    stage: z.enum(['power-on', 'configured']),
    version: text,
    only: z.array(text).optional(),
  }),
  plan: z.looseObject({
    site: text,
    reference: text.optional(),
    files: z.array(z.looseObject({ name: text, sha256: text })),
    model: planModelSchema,
  }),
  vantages: z.array(
    z.looseObject({
      name: text,
      platform: text,
      interfaces: z.array(z.looseObject({ name: text, mac: text, addresses: z.array(text) })),
    }),
  ),
  endpoints: z.array(endpointSchema),
  defaults: z.array(defaultSchema),
  strangers: z.array(z.looseObject({ address: text, mac: text, network: text })),
  groups: z.array(groupSchema),
  observations: z.array(observationSchema),
  findings: z.array(findingSchema),
  capacity: z.array(capacitySchema),
  summary: z.looseObject({
    matches: z.number(),
    differs: z.number(),
    missing: z.number(),
    unproven: z.number(),
    stop: z.number(),
    fix: z.number(),
    note: z.number(),
  }),
  evidence: z.array(evidenceSchema),
  survey: surveySchema.optional(),
});

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
  if (parsed.success) return parsed.data as unknown as Matrix;
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
