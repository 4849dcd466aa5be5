/** Everything that the rows of the verdict table look at, gathered once for one endpoint. */

import type { Claimed } from '../evidence/claims.js';
import type { Duplicate } from '../evidence/duplicate.js';
import type { Seen, View } from '../evidence/view.js';
import type { Finding } from '../findings/index.js';
import type { WrongDevice } from '../identity/wrong-device.js';
import type { Difference, EndpointVerdict } from '../matrix/matrix.js';
import type { Device, Endpoint, Network } from '../plan/model.js';
import type { Attestation } from '../sighting/types.js';
import type { EndpointCabling } from './cabling.js';
import type { ServiceState } from './services.js';

/** What eyes said of an endpoint's link or lamp. */
export interface Attested {
  readonly good: boolean;
  readonly text: string;
  readonly attestation: Attestation;
}

export interface EndpointFacts {
  readonly view: View;
  readonly endpoint: Endpoint;
  readonly device?: Device | undefined;
  readonly network?: Network | undefined;
  /** Best-placed first. Empty where nobody looked. */
  readonly looks: readonly Seen[];
  readonly best?: Seen | undefined;
  /** Claims of the best look. */
  readonly claimed: Claimed;
  readonly duplicate?: Duplicate | undefined;
  readonly wrong?: WrongDevice | undefined;
  readonly swappedWith?: string | undefined;
  readonly services: readonly ServiceState[];
  readonly cabling?: EndpointCabling | undefined;
  readonly attested?: Attested | undefined;
  /** The plan asks for an observation of this endpoint and says so itself where it is open. */
  readonly observationPlanned: boolean;
  /** Another address where the planned MAC answers. */
  readonly elsewhere?: { readonly address: string; readonly isDefault: boolean } | undefined;
  /** Another endpoint of the network answered the same vantage. */
  readonly neighbourAnswered: boolean;
}

/** What a path through the endpoint is worth (DESIGN 6, "A path counts as live ..."). */
export interface Liveness {
  readonly state: 'live' | 'dead' | 'unproven';
  readonly why?: string | undefined;
  readonly measuredSwitch?: string | undefined;
  readonly measuredSpeedMbps?: number | undefined;
}

export interface RowOutcome {
  readonly verdict: EndpointVerdict;
  readonly reasons: readonly string[];
  readonly findings: readonly Finding[];
  readonly liveness: Liveness;
  /** Absent: what differencesOf() reads from the facts. */
  readonly differences?: readonly Difference[] | undefined;
}

/** One row of the table: its outcome, or undefined where it does not fit. */
export type Row = (facts: EndpointFacts) => RowOutcome | undefined;

export function unproven(reasons: readonly string[], findings: readonly Finding[] = []): RowOutcome {
  return { verdict: 'unproven', reasons, findings, liveness: { state: 'unproven', why: reasons[0] } };
}

export function missing(reasons: readonly string[], findings: readonly Finding[]): RowOutcome {
  return { verdict: 'missing', reasons, findings, liveness: { state: 'dead', why: reasons[0] } };
}

export function differs(
  reasons: readonly string[],
  findings: readonly Finding[],
  state: Liveness['state'] = 'dead',
): RowOutcome {
  return {
    verdict: 'differs',
    reasons,
    findings,
    liveness: { state, ...(state === 'live' ? {} : { why: reasons[0] }) },
  };
}
