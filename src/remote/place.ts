/** The other places that a run looks from: what the plan names, and what `--from` names. Pure. */
import type { Plan } from '../plan/model.js';
import { readSshPlace } from '../plan-file/value/ssh-place.js';

export interface RemotePlace {
  /** What the plan, or else its own host name, calls it. Unique in a run. */
  readonly name: string;
  /** Canonical `ssh://user@host[:port]`. */
  readonly ssh: string;
  readonly host: string;
  readonly user?: string | undefined;
  readonly port?: number | undefined;
}

export type PlaceReading =
  | { readonly ok: true; readonly places: readonly RemotePlace[] }
  | { readonly ok: false; readonly found: string; readonly expected: string };

/**
 * `given`: each value of `--from`, an `ssh://` place or the name of a vantage of the plan. Absent: all that the plan names. One place named
 * twice is looked from once; two places of one name get a number, and so does one that is called like the laptop.
 */
export function remotePlaces(
  plan: Pick<Plan, 'vantages'>,
  given: readonly string[] | undefined,
  laptop: string,
): PlaceReading {
  const wanted: { readonly ssh: string; readonly name?: string | undefined }[] = [];
  for (const text of given ?? []) {
    const named = plan.vantages.find(({ name }) => name.toLowerCase() === text.toLowerCase());
    const reading = named === undefined ? readSshPlace(text) : { ok: true as const, value: named.ssh };
    if (!reading.ok) return { ok: false, found: text, expected: reading.expected };
    const { value: ssh } = reading;
    wanted.push({ ssh, name: named?.name ?? plan.vantages.find((one) => one.ssh === ssh)?.name });
  }
  if (given === undefined) wanted.push(...plan.vantages);
  const taken = new Set([laptop]);
  const places = new Map<string, RemotePlace>();
  for (const { ssh, name } of wanted) {
    if (places.has(ssh)) continue;
    const parts = partsOf(ssh);
    const own = unique(name ?? parts.host, taken);
    taken.add(own);
    places.set(ssh, { name: own, ssh, ...parts });
  }
  return { ok: true, places: [...places.values()] };
}

function partsOf(ssh: string): Pick<RemotePlace, 'host' | 'user' | 'port'> {
  const { hostname, username, port } = new URL(ssh);
  return {
    host: hostname.replace(/^\[(.*)\]$/, '$1'),
    ...(username === '' ? {} : { user: username }),
    ...(port === '' ? {} : { port: Number(port) }),
  };
}

function unique(name: string, taken: ReadonlySet<string>): string {
  if (!taken.has(name)) return name;
  let number = 2;
  while (taken.has(`${name} (${number})`)) number += 1;
  return `${name} (${number})`;
}
