/** What travels between this laptop and the agent at another place: one JSON value a line. Pure. */
import { z } from 'zod';
import type { Plan, SnmpCredential } from '../plan/model.js';
import type { PulseTarget } from '../pulse/pulse.js';
import { entrySchema } from '../run/journal-entry.js';
import type { PaceLimits } from '../run/pace.js';
import { evidenceSchema } from '../sighting/evidence.js';

/** A credential as it goes over the channel; `secrets` only where the user said that they may go along. */
export interface SentCredential {
  readonly credential: Omit<SnmpCredential, 'community' | 'authKey' | 'privKey'>;
  readonly secrets: Readonly<Partial<Record<'community' | 'authKey' | 'privKey', string>>> | undefined;
}

export interface AgentRequest {
  readonly kind: 'look';
  /** Without credentials: `credentials` has what of them is sent. */
  readonly plan: Plan;
  readonly credentials: readonly SentCredential[];
  readonly stage: 'power-on' | 'configured';
  readonly only?: readonly string[] | undefined;
  readonly name: string;
  readonly from: string;
  readonly pace: PaceLimits;
}

/** Asks each of these something small again and again, until the connection ends. */
export interface PulseRequest {
  readonly kind: 'pulse';
  readonly targets: readonly PulseTarget[];
  readonly everyMs: number;
  readonly framesPerSecond: number;
}

/** What a pulse sends back, from Node and from a shell alike. */
export const pulseMessageSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('hello'), at: z.number() }),
  z.object({ kind: z.literal('alive') }),
  z.object({ kind: z.literal('pulse'), address: z.string(), alive: z.boolean() }),
]);
export type PulseMessage = Readonly<z.infer<typeof pulseMessageSchema>>;

export const agentMessageSchema = z.discriminatedUnion('kind', [
  /** `at`: the clock there, in milliseconds since the epoch. */
  z.object({ kind: z.literal('hello'), at: z.number() }),
  /** Sent every few seconds, so that silence means something. */
  z.object({ kind: z.literal('alive') }),
  z.object({
    kind: z.literal('progress'),
    progress: z.object({
      phase: z.enum(['looking', 'asking', 'tables', 'done']),
      done: z.number(),
      total: z.number(),
      answered: z.number(),
    }),
  }),
  z.object({ kind: z.literal('entry'), entry: entrySchema }),
  /** The sightings went before, as entries. */
  z.object({ kind: z.literal('evidence'), evidence: evidenceSchema }),
  /** By one port alone, with its sightings; comes before the evidence of the whole place. */
  z.object({ kind: z.literal('port'), port: z.string(), evidence: evidenceSchema }),
  z.object({ kind: z.literal('fault'), said: z.string() }),
]);
export type AgentMessage = Readonly<z.infer<typeof agentMessageSchema>>;

/** How often the agent says that it is there, in milliseconds. */
export const ALIVE_EVERY_MS = 2_000;
