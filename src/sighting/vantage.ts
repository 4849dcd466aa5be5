/** The place that a run looked from, and what it can do there. */
import { z } from 'zod';
import { causeSchema } from './cause.js';

const text = z.string();

const vantageInterfaceSchema = z.object({
  name: text,
  mac: text,
  /** `address/prefix`. */
  addresses: z.array(text).readonly(),
  mtu: z.number().optional(),
  up: z.boolean().default(true),
  /** Radio: what answers here may answer on the cable, too. Absent: not known. */
  wireless: z.boolean().optional(),
});
export type VantageInterface = Readonly<z.infer<typeof vantageInterfaceSchema>>;

const vantageRouteSchema = z.object({
  /** `address/prefix`; default is `0.0.0.0/0` or `::/0`. */
  destination: text,
  interface: text,
  gateway: text.optional(),
  metric: z.number().optional(),
});
export type VantageRoute = Readonly<z.infer<typeof vantageRouteSchema>>;

const yes = z.object({ able: z.literal(true), path: text.optional(), version: text.optional() });
const no = z.object({
  able: z.literal(false),
  cause: causeSchema.optional(),
  reason: text,
  mend: text.optional(),
});
const ability = z.discriminatedUnion('able', [yes, no]);
export type Ability = Readonly<z.infer<typeof ability>>;

/** What this laptop can do. Each gap has a reason. `kit` shows it; the run chooses its methods by it. */
const abilitiesSchema = z.object({
  ping: ability.and(
    z.object({ flavour: z.enum(['iputils', 'busybox', 'bsd', 'windows', 'other']).optional() }),
  ),
  capture: ability.and(z.object({ program: z.enum(['tcpdump', 'dumpcap']).optional() })),
  arping: ability.and(
    z.object({ flavour: z.enum(['iputils', 'common', 'busybox']).optional().catch('common') }),
  ),
  neighbourTable: ability,
  privileged: z.boolean().default(false),
});
export type Abilities = Readonly<z.infer<typeof abilitiesSchema>>;

export const vantageSchema = z.object({
  name: text,
  /** `linux`, `darwin`, `win32`, and the release text. */
  platform: text,
  interfaces: z.array(vantageInterfaceSchema).readonly(),
  routes: z.array(vantageRouteSchema).readonly().default([]),
  /** Routes could not be read: only on-link can be told, and why. */
  routesUnknown: text.optional(),
  abilities: abilitiesSchema,
  /** Minutes that its local time is ahead of UTC, for the page. */
  zoneMinutes: z.number().optional(),
  /** `ssh://user@host` where it was looked from elsewhere. */
  from: text.optional(),
  /** Of a look by one port of that place alone, while others lead to the same network: which. */
  port: text.optional(),
  /** Its clock, against that of the laptop that looked from there; absent where they agree. */
  clockAheadSeconds: z.number().optional(),
});
export type Vantage = Readonly<z.infer<typeof vantageSchema>>;
