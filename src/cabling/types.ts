import type { Finding } from '../findings/index.js';
import type { Difference } from '../matrix/matrix.js';
import type { LinkSighting, SwitchPort } from '../sighting/types.js';

/** What links, switch tables, MTU and portals tell of one endpoint. Everything absent: nothing was measured. */
export interface EndpointCabling {
  readonly differences: readonly Difference[];
  /** Why something could not be told, and what else the reader should know. */
  readonly reasons: readonly string[];
  readonly findings: readonly Finding[];
  /** The port as the device's own agent tells it. */
  readonly link?: LinkSighting | undefined;
  /** Where the switches see the endpoint. */
  readonly cabling?:
    | { readonly switch: string; readonly port: string; readonly mac: string; readonly by: string }
    | undefined;
  /** Switch of the plan that the cable ends in, where that is sure. */
  readonly measuredSwitch?: string | undefined;
  /** The lower of the speeds at both ends of an up link. */
  readonly measuredSpeedMbps?: number | undefined;
  /** For an endpoint without an address: what its link says, where it was seen. */
  readonly verdict?: 'matches' | 'differs' | undefined;
  /** The link itself was seen: up or down by the device's agent or by the switch. A link that is up and slow is live. */
  readonly linkState?: 'up' | 'down' | undefined;
}

export interface CablingJudgement {
  /** Every endpoint that was looked at, by id, with the findings about it. */
  readonly perEndpoint: ReadonlyMap<string, EndpointCabling>;
  /** Findings about whole devices, which stand at no endpoint. */
  readonly findings: readonly Finding[];
}

/** One observation about an endpoint: parts of an EndpointCabling and the findings that come with it. */
export interface Observed {
  readonly differences: readonly Difference[];
  readonly reasons: readonly string[];
  readonly findings: readonly Finding[];
}

export const NOTHING: Observed = { differences: [], reasons: [], findings: [] };

/** A port of a switch of the plan, as its agent tells it. */
export interface Hole {
  readonly switch: string;
  readonly port: SwitchPort;
}
