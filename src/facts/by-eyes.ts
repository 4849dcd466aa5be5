/** Facts that no instrument measured and that somebody looked up: a speed by its lamp, a switch port by its label. Attested is never measured. */

import { agreesWith, attestationOfFact, expectedOf } from '../eyes/eyes.js';
import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import type { Attestation } from '../sighting/types.js';
import type { Fact } from './fact.js';

/** `seen-otherwise`: not as planned. */
export type EyesCause = 'attested' | 'seen-otherwise';

/** What was measured stays; what somebody wrote and nobody can tell stays open. */
export function withEyes(
  facts: readonly Fact[],
  endpoint: Endpoint,
  attestations: readonly Attestation[],
): Fact[] {
  return facts.map((fact) => seenByEyes(fact, endpoint, attestations));
}

function seenByEyes(fact: Fact, endpoint: Endpoint, attestations: readonly Attestation[]): Fact {
  if (fact.state !== 'unproven') return fact;
  const latest = attestationOfFact(attestations, endpoint.id, fact.fact);
  const agrees = latest === undefined ? undefined : agreesWith(latest, expectedOf(fact.fact, fact.planned));
  if (latest === undefined || agrees === undefined) return fact;
  const { saw, by, at, item } = latest;
  const { mend: _mend, path: _path, ...rest } = fact;
  const text = `${by} saw "${saw}" at ${at}`;
  const evidence = [{ who: by, at, text: `${item} seen as "${saw}"` }];
  return {
    ...rest,
    state: agrees ? 'matches' : 'differs',
    measured: saw,
    by: 'attested',
    cause: (agrees ? 'attested' : 'seen-otherwise') satisfies EyesCause,
    reason: text,
    lines: [text],
    evidence,
    findings: agrees
      ? []
      : [
          finding(
            'observation-differs',
            endpoint.id,
            { subject: endpoint.id, item, expect: fact.planned, saw, by, at },
            { evidence, about: [endpoint.id] },
          ),
        ],
  };
}
