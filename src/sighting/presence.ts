/** Who claims an address on the link. */
import { z } from 'zod';
import { notRunSchema } from './cause.js';

const text = z.string();

/** How an address was found present on the link. */
const methodSchema = z.enum(['neighbour-table', 'capture', 'arping', 'own-address']).catch('neighbour-table');
export type PresenceMethod = z.infer<typeof methodSchema>;

const claimSchema = z.object({
  /** Lower case, colon separated: ar$sha of the answer. */
  mac: text,
  method: methodSchema,
  /** Ethernet source where it differs from `mac` (VRRP, proxy, relay). */
  frameSource: text.optional(),
  vlan: z.number().optional(),
  /** Milliseconds after the question. */
  afterMs: z.number().optional(),
  /** First and latest of its answers by the capture's clock, in milliseconds since the epoch. */
  seenFromMs: z.number().optional(),
  seenToMs: z.number().optional(),
  count: z.number(),
});
export type Claim = Readonly<z.infer<typeof claimSchema>>;

export const presenceSchema = z.union([
  z.object({
    outcome: z.literal('claimed'),
    claims: z.array(claimSchema).readonly(),
    methods: z.array(methodSchema).readonly(),
    /** Two different claimants seen for one address at the same time, or alternating (not a move of a virtual one: the judge decides). */
    macs: z.array(text).readonly(),
    /**
     * proven: every answer was seen, so that there is a second claimant or is none. in-turn: one MAC was seen, then another.
     * not-excluded: one was seen, and a second may have stayed hidden.
     */
    duplicateCheck: z
      .enum(['proven', 'in-turn', 'not-excluded', 'unlikely', 'likely'])
      // Two names that older versions had for `in-turn`.
      .transform((check) => (check === 'likely' || check === 'unlikely' ? 'in-turn' : check)),
    duplicateCheckReason: text.optional(),
  }),
  z.object({
    outcome: z.literal('unclaimed'),
    methods: z.array(methodSchema).readonly(),
    asked: z.number().default(1),
    /** Upper bound of the chance that somebody is there all the same (see run/patience). Absent: not worked out. */
    missChance: z.number().optional(),
  }),
  z.object({
    ...notRunSchema.shape,
    /** No question could leave the machine, so that silence to all others proves nothing either. */
    unasked: z.literal(true).optional(),
  }),
]);
export type PresenceSighting = Readonly<z.infer<typeof presenceSchema>>;

/** The question for an address the plan does not have, asked where one MAC claims three devices or more (DESIGN 6). */
export const proxyArpSchema = z.object({
  network: text,
  mac: text,
  askedAddress: text,
  answeredBy: z.array(text).readonly(),
});
export type ProxyArpCheck = Readonly<z.infer<typeof proxyArpSchema>>;
