/**
 * All planned facts of one endpoint, each judged once, and what follows from them. The order matters: whose answers they are (address, then
 * device) decides what the services and the echo prove.
 */
import { anyAnswer } from '../evidence/responses.js';
import type { Difference, EndpointVerdict, Finding } from '../matrix/matrix.js';
import type { Attestation } from '../sighting/types.js';
import { addressFact } from './address.js';
import { boxFact } from './box.js';
import { withEyes } from './by-eyes.js';
import { differencesOf } from './differences.js';
import { echoFact } from './echo.js';
import type { Fact } from './fact.js';
import { livenessOf } from './liveness.js';
import { withLinkByEyes } from './no-address.js';
import { reasonsOf } from './reasons.js';
import { remarksOn } from './remarks.js';
import { type Answerer, serviceFacts, snmpNote } from './service.js';
import type { Liveness, Situation } from './situation.js';
import { verdictOf } from './verdict.js';

/** One endpoint, judged: its facts, and the views of them that the result shows. */
export interface Judged {
  readonly facts: readonly Fact[];
  readonly verdict: EndpointVerdict;
  readonly reasons: readonly string[];
  readonly differences: readonly Difference[];
  readonly findings: readonly Finding[];
  readonly liveness: Liveness;
}

export function judgeEndpoint(s: Situation, attestations: readonly Attestation[]): Judged {
  return judgedFrom(s, factsOf(s, attestations));
}

export function judgedFrom(s: Situation, facts: readonly Fact[]): Judged {
  const verdict = verdictOf(facts);
  return {
    facts,
    verdict,
    reasons: [...new Set([...reasonsOf(s, facts, verdict), ...remarksOn(s)])],
    differences: differencesOf(facts),
    findings: [...facts.flatMap(({ findings }) => findings), ...besideFacts(s, facts)],
    liveness: livenessOf(s.endpoint, facts),
  };
}

export function factsOf(s: Situation, attestations: readonly Attestation[]): Fact[] {
  const address = addressFact(s);
  const box = address === undefined ? undefined : boxFact(s, address.state === 'matches');
  const answerer = answererOf(s, address, box);
  const facts = [
    ...some(address),
    ...(address === undefined ? [] : some(echoFact(s, answerer))),
    ...(address === undefined ? [] : serviceFacts(s, answerer)),
    ...some(box),
    ...withLinkByEyes(s, s.cabling?.facts ?? []),
  ];
  return withEyes(facts, s.endpoint, attestations);
}

/** Whose answers the services and the echo are. */
function answererOf({ best }: Situation, address: Fact | undefined, box: Fact | undefined): Answerer {
  if (address === undefined) return 'open';
  // Of two that hold it, who answered cannot be told; silence is that of both.
  if (address.cause === 'two-devices')
    return best !== undefined && anyAnswer(best.responses) ? 'shared-address' : 'planned';
  if (address.state === 'missing') return 'nobody-there';
  if (address.state === 'unproven') return 'open';
  return box?.path === 'ends' ? 'other-device' : 'planned';
}

/** SNMP that said nothing is worth a note where the device is there and the right one. */
function besideFacts(s: Situation, facts: readonly Fact[]): Finding[] {
  const address = facts.find(({ fact }) => fact === 'address');
  const box = facts.find(({ fact }) => fact === 'box');
  return answererOf(s, address, box) === 'planned' ? snmpNote(s) : [];
}

function some(fact: Fact | undefined): Fact[] {
  return fact === undefined ? [] : [fact];
}
