/** The Redfish service root, which DSP0266 lets anyone read without login. */
import type { NotRun, RedfishIdentity } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { httpGet } from './http-get.js';
import { INTERRUPTED } from './refusal.js';
import { type Dial, dial } from './tcp-dial.js';
import type { Patience } from './types.js';

export interface RedfishTarget {
  readonly address: string;
  readonly port: number;
}

export type RedfishAnswer =
  | { readonly outcome: 'found'; readonly identity: RedfishIdentity }
  | { readonly outcome: 'none'; readonly detail: string }
  | NotRun;

export async function probeRedfish(
  target: RedfishTarget,
  patience: Patience,
  signal: AbortSignal,
  options: { readonly scheme?: 'http' | 'https'; readonly dial?: Dial } = {},
): Promise<RedfishAnswer> {
  const place = { scheme: options.scheme ?? 'https', ...target, path: '/redfish/v1/' } as const;
  const outcome = await httpGet(place, patience, signal, options.dial ?? dial);
  if (signal.aborted) return INTERRUPTED;
  if (outcome.outcome === 'not-run') return outcome;
  if (outcome.outcome !== 'answered') return { outcome: 'none', detail: outcome.detail };
  if (outcome.status !== 200) return { outcome: 'none', detail: `status ${outcome.status}` };
  if (outcome.cut) return { outcome: 'none', detail: 'the service root was not read to its end' };
  const identity = readServiceRoot(Buffer.from(outcome.body).toString('utf8'));
  return identity === undefined
    ? { outcome: 'none', detail: 'no service root in the answer' }
    : { outcome: 'found', identity };
}

/**
 * ServiceRoot.v1_20_0: only Links, @odata.id, @odata.type, Id and Name are required; UUID, Product, Vendor and RedfishVersion
 * may all be absent. Undefined where the text is no service root at all.
 */
export function readServiceRoot(text: string): RedfishIdentity | undefined {
  const root = parseObject(text);
  const type = root?.['@odata.type'];
  if (root === undefined || typeof type !== 'string' || !/^#?ServiceRoot\./.test(type)) return undefined;
  const uuid = textOf(root.UUID)?.toLowerCase();
  const identity = {
    uuid: uuid !== undefined && UUID.test(uuid) ? uuid : undefined,
    product: textOf(root.Product),
    vendor: textOf(root.Vendor),
    redfishVersion: textOf(root.RedfishVersion),
  };
  return Object.fromEntries(Object.entries(identity).filter(([, value]) => value !== undefined));
}

const UUID = /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

function textOf(value: unknown): string | undefined {
  return typeof value === 'string' && value.trim() !== '' ? cleanText(value) : undefined;
}

function parseObject(text: string): Record<string, unknown> | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === 'object' && value !== null && !Array.isArray(value) ? { ...value } : undefined;
  } catch {
    return undefined;
  }
}
