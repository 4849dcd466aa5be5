/** Everything one run from one vantage saw: input of the judge, kept in matrix.json. */
import { z } from 'zod';
import { icmpSchema, iscsiSchema, mtuSchema, proofSchema, snmpSchema, tcpSchema } from './answers.js';
import { causeSchema } from './cause.js';
import { identitySchema } from './identity.js';
import { presenceSchema, proxyArpSchema } from './presence.js';
import {
  deviceLinksSchema,
  fabricTablesSchema,
  neighbourSchema,
  powerSuppliesSchema,
  switchTablesSchema,
} from './tables.js';
import { vantageSchema } from './vantage.js';

const text = z.string();

const reachSchema = z.enum(['on-link', 'routed', 'no-route']);
export type Reach = z.infer<typeof reachSchema>;

const mend = z.object({ add: text, remove: text }).readonly();

/** What every sighting of an address has, whether it stands with its endpoint or alone. */
export const sightingParts = {
  reach: reachSchema,
  /** Interface that the question left (or would have left) by. */
  interface: text.optional(),
  /** Why reach is `no-route`, or why a probe could prove nothing; with the command that fixes it where there is one. */
  reachReason: text.optional(),
  mend: mend.optional(),
  presence: presenceSchema,
  icmp: icmpSchema,
  tcp: z.array(tcpSchema).readonly(),
  proofs: z.array(proofSchema).readonly(),
  snmp: snmpSchema,
  identity: identitySchema,
  mtu: mtuSchema,
  iscsi: iscsiSchema,
};

/** Everything one vantage saw of one address. */
export const addressSightingSchema = z.object({
  address: text,
  /** The address is the laptop's own. */
  own: z.boolean(),
  ...sightingParts,
});
export type AddressSighting = Readonly<z.infer<typeof addressSightingSchema>>;

export const attestationSchema = z.object({
  subject: text,
  item: text,
  saw: text,
  by: text,
  at: text,
  /** What the person said it is, where words alone cannot tell: as planned or not. */
  agrees: z.boolean().optional(),
  /** Beyond what the plan asks for (`--extra`). */
  extra: z.literal(true).optional(),
});
export type Attestation = Readonly<z.infer<typeof attestationSchema>>;

const drillRecordSchema = z.object({
  group: text,
  pulled: z.object({ kind: text, name: text }).readonly(),
  /** unproven: pulled, and what could be watched does not tell whether the group went on. */
  outcome: z.enum(['survived', 'lost', 'skipped', 'aborted', 'not-noticed', 'unproven']),
  /** Why it was skipped, where no person said so: nothing that hangs on it could be watched from there. */
  why: z.literal('not-watched').optional(),
  /** How many steps the drill had that this record is from, those that were never reached included. */
  ofSteps: z.number().optional(),
  by: text,
  startedAt: text.default(''),
  finishedAt: text.default(''),
  /** Probe interval in ms: the gaps are known no better than this. */
  resolutionMs: z.number(),
  gaps: z.array(z.object({ endpoint: text, gapMs: z.number(), returned: z.boolean() }).readonly()).readonly(),
});
export type DrillRecord = Readonly<z.infer<typeof drillRecordSchema>>;

export const evidenceSchema = z.object({
  vantage: vantageSchema,
  startedAt: text,
  finishedAt: text,
  stage: z.enum(['power-on', 'configured']),
  /** `--only`: devices that were looked at; absent = all. */
  only: z.array(text).readonly().optional(),
  complete: z.boolean(),
  /** Nothing could be asked from there at all. */
  failed: z.object({ cause: causeSchema, reason: text }).readonly().optional(),
  /** One per address asked: planned, default, gateways, and swept ones that answered. */
  sightings: z.array(addressSightingSchema).readonly(),
  links: z.array(deviceLinksSchema).readonly(),
  switches: z.array(switchTablesSchema).readonly(),
  fabrics: z.array(fabricTablesSchema).readonly().default([]),
  power: z.array(powerSuppliesSchema).readonly().default([]),
  /** LLDP frames seen on the laptop's own ports. */
  ownNeighbours: z.array(neighbourSchema).readonly(),
  /** Who else answered the ARP question for an address of the laptop itself. */
  ownClaimed: z
    .array(z.object({ address: text, macs: z.array(text).readonly() }).readonly())
    .readonly()
    .default([]),
  proxyArp: z.array(proxyArpSchema).readonly(),
  attestations: z.array(attestationSchema).readonly(),
  drills: z.array(drillRecordSchema).readonly(),
  /** Things about the run itself that the reader must know: a capture that ended early, a paced-down device, ... */
  notes: z.array(text).readonly(),
});
/** Everything one run from one vantage saw. */
export type Evidence = Readonly<z.infer<typeof evidenceSchema>>;
