/** Who claims an address on the link. */
import type { NotRun } from './answers.js';

/** How an address was found present on the link. */
export type PresenceMethod = 'neighbour-table' | 'capture' | 'arping' | 'own-address';

export interface Claim {
  /** Lower case, colon separated: ar$sha of the answer. */
  readonly mac: string;
  readonly method: PresenceMethod;
  /** Ethernet source where it differs from `mac` (VRRP, proxy, relay). */
  readonly frameSource?: string | undefined;
  readonly vlan?: number | undefined;
  /** Milliseconds after the question. */
  readonly afterMs?: number | undefined;
  readonly count: number;
}

export type PresenceSighting =
  | {
      readonly outcome: 'claimed';
      readonly claims: readonly Claim[];
      readonly methods: readonly PresenceMethod[];
      /** Two different claimants seen for one address at the same time, or alternating (not a move of a virtual one: the judge decides). */
      readonly macs: readonly string[];
      /** How sure it is that there is no second claimant. */
      readonly duplicateCheck: 'proven' | 'likely' | 'not-excluded';
      readonly duplicateCheckReason?: string | undefined;
    }
  | { readonly outcome: 'unclaimed'; readonly methods: readonly PresenceMethod[]; readonly asked: number }
  /** `unasked`: no question could leave the machine, so that silence to all others proves nothing either. */
  | (NotRun & { readonly unasked?: true | undefined });

/** The question for an address the plan does not have, asked where one MAC claims three devices or more (DESIGN 6). */
export interface ProxyArpCheck {
  readonly network: string;
  readonly mac: string;
  readonly askedAddress: string;
  readonly answeredBy: readonly string[];
}
