/** What a run learns, piece by piece, in the order in which it is settled: what a journal holds, and what a run is put together from. Pure. */
import { z } from 'zod';
import { createCeilings } from '../sighting/ceilings.js';
import { type AddressSighting, addressSightingSchema, type Evidence } from '../sighting/evidence.js';
import { proxyArpSchema } from '../sighting/presence.js';
import {
  deviceLinksSchema,
  fabricTablesSchema,
  neighbourSchema,
  powerSuppliesSchema,
  switchTablesSchema,
} from '../sighting/tables.js';
import { vantageSchema } from '../sighting/vantage.js';

const texts = z.array(z.string()).readonly();

/** Who is on the links is known for every address: nobody there is asked by ARP again. */
const presenceFacts = z.object({
  ownNeighbours: z.array(neighbourSchema).readonly(),
  ownClaimed: z
    .array(z.object({ address: z.string(), macs: texts }).readonly())
    .readonly()
    .default([]),
  proxyArp: z.array(proxyArpSchema).readonly(),
  notes: texts,
});
export type PresenceFacts = Readonly<z.infer<typeof presenceFacts>>;

export const entrySchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('begun'), vantage: vantageSchema, at: z.string() }),
  /** A later one of the same address stands for an earlier one. */
  z.object({ kind: z.literal('sighting'), sighting: addressSightingSchema }),
  z.object({ kind: z.literal('presence'), facts: presenceFacts }),
  z.object({ kind: z.literal('links'), links: deviceLinksSchema }),
  z.object({ kind: z.literal('switch'), tables: switchTablesSchema }),
  z.object({ kind: z.literal('fabric'), tables: fabricTablesSchema }),
  z.object({ kind: z.literal('power'), supplies: powerSuppliesSchema }),
]);
export type Entry = Readonly<z.infer<typeof entrySchema>>;

/** All that the entries tell, the last word on each thing. */
export interface Gathered {
  readonly vantage: Evidence['vantage'] | undefined;
  readonly startedAt: string | undefined;
  readonly sightings: readonly AddressSighting[];
  readonly presence: PresenceFacts | undefined;
  readonly links: Evidence['links'];
  readonly switches: Evidence['switches'];
  readonly fabrics: Evidence['fabrics'];
  readonly power: Evidence['power'];
}

export function gather(entries: readonly Entry[]): Gathered {
  const sightings = new Map<string, AddressSighting>();
  const links = new Map<string, Evidence['links'][number]>();
  const switches = new Map<string, Evidence['switches'][number]>();
  const fabrics = new Map<string, Evidence['fabrics'][number]>();
  const power = new Map<string, Evidence['power'][number]>();
  let vantage: Gathered['vantage'];
  let startedAt: string | undefined;
  let presence: PresenceFacts | undefined;
  for (const entry of entries) {
    switch (entry.kind) {
      case 'begun':
        vantage = entry.vantage;
        startedAt ??= entry.at;
        break;
      case 'sighting':
        sightings.set(entry.sighting.address, entry.sighting);
        break;
      case 'presence':
        presence = entry.facts;
        break;
      case 'links':
        links.set(
          JSON.stringify([entry.links.device, entry.links.controller, entry.links.askedAt]),
          entry.links,
        );
        break;
      case 'switch':
        switches.set(JSON.stringify([entry.tables.switch, entry.tables.askedAt]), entry.tables);
        break;
      case 'fabric':
        fabrics.set(JSON.stringify([entry.tables.switch, entry.tables.askedAt]), entry.tables);
        break;
      case 'power':
        power.set(JSON.stringify([entry.supplies.device, entry.supplies.askedAt]), entry.supplies);
        break;
    }
  }
  return {
    vantage,
    startedAt,
    sightings: [...sightings.values()],
    presence,
    links: [...links.values()],
    switches: [...switches.values()],
    fabrics: [...fabrics.values()],
    power: [...power.values()],
  };
}

export function entriesOf({
  sightings,
  presence,
  links,
  switches,
  fabrics,
  power,
}: Omit<Gathered, 'vantage' | 'startedAt' | 'presence'> & {
  readonly presence?: PresenceFacts | undefined;
}): Entry[] {
  return [
    ...sightings.map((sighting): Entry => ({ kind: 'sighting', sighting })),
    ...(presence === undefined ? [] : [{ kind: 'presence', facts: presence } as const]),
    ...links.map((one): Entry => ({ kind: 'links', links: one })),
    ...switches.map((tables): Entry => ({ kind: 'switch', tables })),
    ...fabrics.map((tables): Entry => ({ kind: 'fabric', tables })),
    ...power.map((supplies): Entry => ({ kind: 'power', supplies })),
  ];
}

/** The last word on each thing alone, and no more of it than a run keeps: a journal may have been gone on with many times, or been changed. */
export function settled(entries: readonly Entry[]): Entry[] {
  const ceilings = createCeilings();
  const { vantage, startedAt, ...seen } = gather(entries);
  return [
    ...(vantage === undefined || startedAt === undefined
      ? []
      : [{ kind: 'begun', vantage, at: startedAt } as const]),
    ...entriesOf({
      ...seen,
      sightings: seen.sightings.map((one) => ceilings.changed(ceilings.sighting(one))),
      links: seen.links.map((one) => ceilings.links(one)),
      switches: seen.switches.map((one) => ceilings.switchTables(one)),
      fabrics: seen.fabrics.map((one) => ceilings.fabricTables(one)),
      power: seen.power.map((one) => ceilings.power(one)),
    }),
  ];
}

/** What one vantage saw before its run was cut off; undefined where it had not even looked around. */
export function cutOff(
  entries: readonly Entry[],
  run: { readonly stage: Evidence['stage']; readonly only?: readonly string[] | undefined },
  finishedAt: string,
): Evidence | undefined {
  const { vantage, startedAt, presence, ...seen } = gather(entries);
  if (vantage === undefined) return undefined;
  return {
    vantage,
    startedAt: startedAt ?? finishedAt,
    finishedAt,
    stage: run.stage,
    ...(run.only === undefined ? {} : { only: run.only }),
    complete: false,
    ...seen,
    ownNeighbours: presence?.ownNeighbours ?? [],
    ownClaimed: presence?.ownClaimed ?? [],
    proxyArp: presence?.proxyArp ?? [],
    attestations: [],
    drills: [],
    notes: presence?.notes ?? [],
  };
}
