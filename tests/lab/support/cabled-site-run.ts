/** One run on a variation of the cabled site, and what the result says in few words. */
import pLimit from 'p-limit';
import type { Matrix } from '../../../src/matrix/matrix.js';
import { buildCabledSite, type CabledSite, type Variation } from './cabled-site.js';
import { NAMES, PLANNED, type SwitchKey } from './cabled-site-plan.js';

/** Neighbours each switch is to hear: the loft switch the two others, those the loft switch and each other, and all who send on their ports. */
function neighbours({ cables = {}, lldp }: Variation) {
  const senders = NAMES.filter((name) => name.startsWith('vault-1/'));
  const on = (key: SwitchKey) =>
    2 +
    (lldp === 'everybody' ? senders : []).filter((name) => (cables[name] ?? PLANNED[name]).switch === key)
      .length;
  return { loft: on('loft'), a: on('a'), b: on('b') };
}

export interface CheckedSite {
  readonly matrix: Matrix;
  readonly exitCode: number | null;
}

/** A run mostly waits; three sites at a time still leave it the time that it would have on a laptop. */
const atOnce = pLimit(3);

/** Builds, lets `before` set what it wants, checks, lets `after` hold the result against the site, and takes it down again. */
export function checkVariation(variation: Variation, steps: Steps = {}): Promise<CheckedSite> {
  return atOnce(() => checkOne(variation, steps));
}

interface Steps {
  readonly before?: (site: CabledSite) => Promise<void>;
  readonly after?: (site: CabledSite, matrix: Matrix) => Promise<void>;
}

async function checkOne(variation: Variation, steps: Steps): Promise<CheckedSite> {
  const site = await buildCabledSite(variation);
  try {
    if (variation.lldp !== undefined) await site.lldpHeard(neighbours(variation));
    await steps.before?.(site);
    const { matrix, exitCode } = await site.check();
    await steps.after?.(site, matrix);
    return { matrix, exitCode };
  } finally {
    await site.remove();
  }
}

/** What the run asks somebody to act on, as `code subject`. */
export const toAct = (matrix: Matrix): string[] =>
  matrix.findings
    .filter(({ severity }) => severity !== 'note')
    .map(({ code, subject }) => `${code} ${subject}`)
    .sort();

export const messageOf = (matrix: Matrix, code: string, subject: string): string =>
  matrix.findings.find((finding) => finding.code === code && finding.subject === subject)?.message ?? '';

export const endpointOf = (matrix: Matrix, id: string) =>
  matrix.endpoints.find((endpoint) => endpoint.id === id);

/** `data-switch-a port11 by LLDP` for the hole that the switches see the endpoint in. */
export function holeOf(matrix: Matrix, id: string): string | undefined {
  const cabling = endpointOf(matrix, id)?.sightings[0]?.cabling;
  return cabling === undefined ? undefined : `${cabling.switch} ${cabling.port} by ${cabling.by}`;
}

export const dataGroup = (matrix: Matrix) => matrix.groups.find(({ name }) => name === 'vault-1 data');
