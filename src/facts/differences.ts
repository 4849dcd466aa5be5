/** What of an endpoint is not as planned, as values: planned, measured, and where that was seen. A view of its facts. */

import type { Difference } from '../matrix/matrix.js';
import { sayLine } from '../sighting/evidence-line.js';
import { cutText } from '../text/clean.js';
import type { Fact, FactKind } from './fact.js';

/** Characters. */
const EVIDENCE_TEXT = 600;

/** The fields' names in matrix.json, as the address list writes them. */
const FIELDS: Readonly<Record<FactKind, string>> = {
  address: 'address',
  echo: 'echo',
  service: 'services',
  box: 'device',
  link: 'link',
  light: 'link',
  speed: 'speed',
  'switch-port': 'switch port',
  vlan: 'vlan',
  mtu: 'mtu',
  portals: 'portals',
};

export function differencesOf(facts: readonly Fact[]): Difference[] {
  return facts
    .filter(({ state }) => state === 'differs')
    .flatMap(({ fact, planned, measured, evidence, parts }) =>
      (parts ?? [{ field: FIELDS[fact], planned, measured }]).map((part) => ({
        field: part.field,
        planned: part.planned,
        measured: part.measured,
        evidence: cutText(evidence.map(sayLine).join('; '), EVIDENCE_TEXT),
      })),
    );
}
