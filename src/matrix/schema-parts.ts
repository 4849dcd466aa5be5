/** Shapes of what was concluded. Finding codes are open: a result of a later version may have more. */
import { z } from 'zod';
import { text } from '../sighting/schema.js';

const thing = z.looseObject({ kind: text, name: text });
const groupVerdict = z.enum(['redundant', 'at-risk', 'lost', 'unproven']);
const pair = z.tuple([thing, thing]);

export const groupSchema = z.looseObject({
  name: text,
  need: z.number(),
  inferred: z.boolean(),
  planned: z.array(text),
  live: z.array(text),
  verdict: groupVerdict,
  reasons: z.array(text),
  singlePoints: z.array(thing),
  pairs: z.array(pair),
  paths: z.array(
    z.looseObject({
      id: text,
      endpoints: z.array(text),
      things: z.array(thing),
      state: z.enum(['live', 'dead', 'unproven']),
    }),
  ),
  asPlanned: z.looseObject({ verdict: groupVerdict, singlePoints: z.array(thing), pairs: z.array(pair) }),
});

export const defaultSchema = z.looseObject({
  address: text,
  devices: z.array(text),
  macs: z.array(text),
  outcome: z.enum(['silent', 'answers', 'clash', 'unproven']),
  reasons: z.array(text),
});

export const observationSchema = z.looseObject({
  subject: text,
  item: text,
  expect: text,
  verdict: z.enum(['matches', 'differs', 'open']),
});

export const findingSchema = z.looseObject({
  code: text,
  severity: z.enum(['stop', 'fix', 'note']),
  subject: text,
  message: text,
  evidence: z.array(text),
  advice: text,
  about: z.array(text).optional(),
});

export const capacitySchema = z.looseObject({
  network: text,
  cidr: text,
  usable: z.number(),
  planned: z.number(),
  reserved: z.number(),
  left: z.number(),
});
