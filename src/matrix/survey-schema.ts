/** survey.json, format `matchmark.survey/1`: who answered before power-on, kept to be held against later runs. */

import { z } from 'zod';
import { icmpSchema, tcpSchema } from '../sighting/answers.js';
import { causeSchema } from '../sighting/cause.js';
import { seenLineSchema } from '../sighting/evidence-line.js';
import { identitySchema } from '../sighting/identity.js';

const text = z.string();
const texts = z.array(text).readonly();

/** One address that answered. */
export const surveyEntrySchema = z
  .object({
    address: text,
    /** Empty where the address answered across a router. */
    macs: texts,
    /** Registered owner of the MAC prefix, in words that say whose it is ("nobody: the local bit is set"). */
    maker: text.optional(),
    network: text.optional(),
    kind: z.enum(['planned', 'default', 'other']),
    /** Planned owner of a planned address. */
    endpoint: text.optional(),
    /** Devices that come up on a default address, or the device of the endpoint. */
    devices: texts,
    identity: identitySchema,
    icmp: icmpSchema,
    tcp: z.array(tcpSchema).readonly(),
  })
  .readonly();

const finding = z
  .object({
    id: text.default(''),
    follows: texts.default([]),
    code: text,
    severity: z.enum(['stop', 'fix', 'note']),
    subject: text.default(''),
    message: text.default(''),
    evidence: texts.default([]),
    seen: z.array(seenLineSchema).readonly().optional(),
    advice: text.default(''),
    about: texts.optional(),
  })
  .readonly();

export const surveySchema = z.object({
  format: z.literal('matchmark.survey/1'),
  takenAt: text,
  vantage: text,
  site: text,
  complete: z.boolean(),
  entries: z.array(surveyEntrySchema).readonly(),
  /** How many addresses were really asked, by kind. An address that could not be asked is not counted. */
  asked: z
    .object({
      planned: z.number(),
      defaults: z.number(),
      /** Networks that were swept, with how many addresses. */
      networks: z.array(z.object({ network: text, addresses: z.number() }).readonly()).readonly(),
    })
    .readonly(),
  /** Addresses that were asked and stayed silent: only these can be called new when they answer later. */
  silent: texts,
  /** Addresses that could not be asked, with the reason. */
  unproven: z
    .array(z.object({ address: text, reason: text, cause: causeSchema.optional() }).readonly())
    .readonly(),
  findings: z.array(finding).readonly(),
});
