/** Shapes of what was concluded. Finding codes are open: a result of a later version may have more. */
import { z } from 'zod';
import { sightingParts } from '../sighting/evidence.js';
import { seenLineSchema } from '../sighting/evidence-line.js';
import { linkSchema } from '../sighting/tables.js';

const text = z.string();
const texts = z.array(text).readonly();

/** DESIGN 2, verdict of an endpoint, and state of a fact. */
export const verdictSchema = z.enum(['matches', 'differs', 'missing', 'unproven']);
export const groupVerdictSchema = z.enum(['redundant', 'at-risk', 'lost', 'unproven']);
export const severitySchema = z.enum(['stop', 'fix', 'note']);

/** What a plan can state of an endpoint (DESIGN 2). The order is that of the matrix's columns. */
export const FACT_KINDS = [
  'address',
  'echo',
  'service',
  'box',
  'link',
  'light',
  'speed',
  'switch-port',
  'vlan',
  'mtu',
  'portals',
] as const;

/** One thing that the plan states of an endpoint, with what was measured of it. */
export const factSchema = z
  .object({
    fact: z.enum(FACT_KINDS),
    /** Name of the service, for `fact: service`: `https`, `https:8443`, `tcp/8443`. */
    service: text.optional(),
    planned: text,
    measured: text,
    state: verdictSchema,
    by: z.enum(['measured', 'attested', '']),
    vantage: text,
    /** Why it is not `matches`, or what is to be said beside it, as a name (facts/fact.ts). */
    cause: text.optional(),
    /** The same in words, made from the facts. */
    reason: text,
    /** What can be done to prove it. */
    mend: text.optional(),
  })
  .readonly();

/** A thing that a path runs through. `kind`: controller, switch, network, feed, host-port, adapter, ... */
export const thingSchema = z.object({ kind: text, name: text }).readonly();
const sourcedThing = z
  .object({ kind: text, name: text, source: z.enum(['planned', 'measured']).default('planned') })
  .readonly();
const pair = z.tuple([thingSchema, thingSchema]).readonly();

export const pathSchema = z
  .object({
    /** Endpoint id, or `host endpoint id -> data endpoint id`. */
    id: text,
    endpoints: texts,
    things: z.array(sourcedThing).readonly(),
    /** Things of which the path needs any one: the feeds of a device that has several. */
    either: z.array(z.array(thingSchema).readonly()).readonly().optional(),
    state: z.enum(['live', 'dead', 'unproven']),
    why: text.optional(),
    /** Of a pair: the place that asked the array port over the host's own port. Absent where nobody did. */
    over: text.optional(),
  })
  .readonly();

export const groupSchema = z
  .object({
    name: text,
    need: z.number(),
    inferred: z.boolean().default(false),
    /** `planned` as soon as one thing that decided was not measured (DESIGN 7). */
    basis: z.enum(['measured', 'planned']).default('planned'),
    planned: texts,
    live: texts,
    verdict: groupVerdictSchema,
    reasons: texts,
    singlePoints: z.array(thingSchema).readonly(),
    pairs: z.array(pair).readonly(),
    paths: z.array(pathSchema).readonly(),
    /** The same for the plan alone. */
    asPlanned: z
      .object({
        verdict: groupVerdictSchema,
        singlePoints: z.array(thingSchema).readonly(),
        pairs: z.array(pair).readonly(),
      })
      .readonly(),
    availability: z.object({ planned: z.number(), found: z.number().optional() }).readonly().optional(),
  })
  .readonly();

export const defaultSchema = z
  .object({
    address: text,
    devices: texts,
    macs: texts,
    outcome: z.enum(['silent', 'answers', 'clash', 'unproven']),
    reasons: texts,
  })
  .readonly();

export const strangerSchema = z
  .object({ address: text, mac: text, network: text, maker: text.optional() })
  .readonly();

export const observationSchema = z
  .object({
    subject: text,
    item: text,
    expect: text,
    when: text.optional(),
    saw: text.optional(),
    by: text.optional(),
    at: text.optional(),
    verdict: z.enum(['matches', 'differs', 'open']),
    /** Recorded beyond what the plan asks for. */
    extra: z.literal(true).optional(),
  })
  .readonly();

export const findingSchema = z
  .object({
    /** Code and subject: the same from run to run. */
    id: text.default(''),
    /** Ids of the findings that this one follows from; empty for a cause. */
    follows: texts.default([]),
    code: text,
    severity: severitySchema,
    subject: text,
    message: text,
    evidence: texts,
    /** The same lines with who and when apart from the words; absent where no line has them. */
    seen: z.array(seenLineSchema).readonly().optional(),
    advice: text,
    /** Other things that the finding is about: endpoint ids, so that the page can link cells. */
    about: texts.optional(),
  })
  .readonly();

export const capacitySchema = z
  .object({
    network: text,
    cidr: text,
    usable: z.number(),
    planned: z.number(),
    reserved: z.number(),
    left: z.number(),
  })
  .readonly();

export const equipmentSchema = z
  .object({
    device: text,
    controller: text,
    rack: text,
    units: text,
    serials: texts,
    software: text,
    macs: texts,
    addresses: texts,
  })
  .readonly();

export const outcomeSchema = z
  .object({
    state: z.enum(['stop', 'fix', 'open', 'ready']),
    headline: text,
    /** What somebody has to do: causes, not findings. */
    jobs: z.number(),
  })
  .readonly();

const counts = { matches: z.number(), differs: z.number(), missing: z.number(), unproven: z.number() };
export const summarySchema = z
  .object({
    ...counts,
    stop: z.number(),
    fix: z.number(),
    note: z.number(),
    facts: z.object(counts).readonly().default({ matches: 0, differs: 0, missing: 0, unproven: 0 }),
  })
  .readonly();

export const differenceSchema = z
  .object({ field: text, planned: text, measured: text, evidence: text })
  .readonly();

export const endpointSightingSchema = z
  .object({
    vantage: text,
    /** Start of the run it is from; with `vantage` it names one of `evidence`. Absent where no address was asked. */
    at: text.optional(),
    own: z.boolean().optional(),
    ...sightingParts,
    macs: texts,
    /** The port as the device's own agent tells it; `{}` where nothing is known. */
    link: z.union([linkSchema, z.object({}).strict()]),
    /** Where the switches see this endpoint's MAC. */
    cabling: z.object({ switch: text, port: text, mac: text, by: text }).readonly().optional(),
  })
  .readonly();

export const endpointSchema = z
  .object({
    id: text,
    device: text,
    controller: text,
    port: text,
    role: text,
    network: text,
    address: text,
    group: text,
    verdict: verdictSchema,
    reasons: texts,
    sightings: z.array(endpointSightingSchema).readonly(),
    facts: z.array(factSchema).readonly().default([]),
    differences: z.array(differenceSchema).readonly(),
  })
  .readonly();
