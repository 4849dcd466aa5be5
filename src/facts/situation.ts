/** Everything that the facts of one endpoint are judged by, gathered once. */
import type { Claimed } from '../evidence/claims.js';
import type { Duplicate, SeveralClaims } from '../evidence/duplicate.js';
import type { Place } from '../evidence/place.js';
import type { Seen, View } from '../evidence/view.js';
import type { Attested } from '../eyes/observations.js';
import type { DeviceFit } from '../identity/device-fit.js';
import type { SameDevice } from '../identity/same-device.js';
import type { WrongDevice } from '../identity/wrong-device.js';
import type { Device, Endpoint, Network } from '../plan/model.js';
import { type EvidenceLine, seenLine } from '../sighting/evidence-line.js';
import type { EndpointCabling } from './cabling.js';
import type { ServiceState } from './service-state.js';

export interface Situation {
  readonly view: View;
  readonly endpoint: Endpoint;
  readonly device?: Device | undefined;
  readonly network?: Network | undefined;
  /** Best-placed first. Empty where nobody looked. */
  readonly looks: readonly Seen[];
  readonly best?: Seen | undefined;
  /** Where the best look was taken from, to the endpoint's network. */
  readonly place: Place;
  /** Claims of the best look. */
  readonly claimed: Claimed;
  /** What several MACs at the address are. */
  readonly claims?: SeveralClaims | undefined;
  readonly duplicate?: Duplicate | undefined;
  readonly fit: DeviceFit;
  readonly wrong?: WrongDevice | undefined;
  readonly swappedWith?: string | undefined;
  /** One device answers here and at another endpoint, and this one is not the one it belongs to. */
  readonly same?: SameDevice | undefined;
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
}

/** A line of evidence from the best look. */
export function seenBy({ best }: Situation, text: string): EvidenceLine {
  return best === undefined ? text : seenLine(best.evidence, text);
}
