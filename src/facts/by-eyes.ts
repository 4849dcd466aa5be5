/** Facts that no instrument measured and that somebody looked up: a speed by its lamp, a switch port by its label. Attested is never measured. */

import type { Endpoint } from '../plan/model.js';
import type { Attestation } from '../sighting/types.js';
import { sameName, textAgrees } from '../site/text-agrees.js';
import type { Fact, FactKind } from './fact.js';

/** The item under which a fact is attested. */
export const FACT_ITEMS: Partial<Record<FactKind, string>> = {
  box: 'device label',
  link: 'link light',
  light: 'link light',
  speed: 'speed',
  'switch-port': 'switch port',
  vlan: 'VLAN',
  mtu: 'MTU',
  portals: 'portals',
};

export function withEyes(
  facts: readonly Fact[],
  endpoint: Endpoint,
  attestations: readonly Attestation[],
): Fact[] {
  const about = attestations.filter(({ subject }) => sameName(subject, endpoint.id));
  if (about.length === 0) return [...facts];
  return facts.map((fact) => {
    const item = FACT_ITEMS[fact.fact];
    if (fact.state !== 'unproven' || item === undefined) return fact;
    const latest = about
      .filter((one) => sameName(one.item, item))
      .sort((a, b) => (a.at < b.at ? 1 : a.at > b.at ? -1 : 0))[0];
    if (latest === undefined) return fact;
    const agrees = latest.agrees ?? textAgrees(latest.saw, fact.planned);
    const { mend: _mend, path: _path, ...rest } = fact;
    return {
      ...rest,
      state: agrees ? 'matches' : 'differs',
      measured: latest.saw,
      by: 'attested',
      cause: agrees ? 'attested' : 'seen-otherwise',
      reason: `${latest.by} saw "${latest.saw}" at ${latest.at}`,
      lines: [`${latest.by} saw "${latest.saw}" at ${latest.at}`],
      evidence: [`${latest.by}, ${latest.at}: saw "${latest.saw}"`],
    };
  });
}
