/** Why a fact about link or cable is not as planned, or not proven: names that anybody may read, and the words for people beside them. */
import type { Untold } from '../cabling/agents.js';
import { type Fact, open, type Stated } from './fact.js';

export type CableCause =
  /** No run looked at the device (`--only`). */
  | 'out-of-scope'
  | 'nobody-looked'
  /* Agents. */
  | 'no-credential'
  | 'secret-missing'
  | 'no-agent'
  | 'agent-silent'
  | 'port-not-found'
  | 'not-told'
  /* Link and light. */
  | 'link-down'
  | 'switched-off'
  | 'leg-down'
  | 'not-logged-in'
  | 'fabric-not-read'
  | 'name-at-two-ports'
  | 'supply-down'
  | 'supply-unknown'
  /* Speed. */
  | 'slower'
  | 'slower-leg'
  /* Switch port. */
  | 'in-another-port'
  | 'on-another-switch'
  | 'in-another-fabric'
  | 'something-else-there'
  | 'virtual-address'
  | 'switch-not-read'
  | 'switch-cut-short'
  | 'one-vlan-only'
  | 'no-table'
  | 'mac-not-learned'
  | 'port-unknown'
  | 'port-ambiguous'
  | 'leads-on'
  | 'may-lie-behind'
  | 'no-port-name'
  | 'in-its-group'
  /* VLAN. */
  | 'other-vlan'
  | 'may-be-tagged'
  | 'vlan-not-told'
  /* MTU. */
  | 'smaller-on-the-way'
  | 'port-set-smaller'
  | 'echo-limited'
  | 'laptop-limits'
  | 'not-measured'
  | 'port-says-less'
  /* Portals. */
  | 'in-portal-group'
  | 'lists-by-name'
  | 'not-listed'
  | 'lists-unplanned'
  | 'not-comparable'
  | 'asks-for-authentication'
  | 'not-asked';

/** Why, for the program and for people. */
export interface Why {
  readonly cause: CableCause;
  readonly reason: string;
  readonly mend?: string | undefined;
}

type More = NonNullable<Parameters<typeof open>[3]>;

export function unproven(stated: Stated, { cause, reason, mend }: Why, more: More = {}): Fact {
  return open(stated, cause, reason, { ...(mend === undefined ? {} : { mend }), ...more });
}

/** `no device told its speed: the plan names no SNMP credential for vault-1`. `orBy`: a switch that could tell it as well. */
export function sayUntold(what: string, untold: Untold, orBy?: string | undefined): Why {
  const { kind, who } = untold;
  const start = `no device told ${what}`;
  switch (kind) {
    case 'no-credential':
      return {
        cause: kind,
        reason: `${start}: the plan names no SNMP credential for ${who}`,
        mend: `write the SNMP credential of ${orBy === undefined ? who : `${who} or ${orBy}`} into the plan (snmp), then check again`,
      };
    case 'secret-missing':
      return {
        cause: kind,
        reason: `${start}: the secret of the credential ${untold.credential}, which ${who} needs, is not at hand`,
        mend: `give the secret of ${untold.credential}, then check again`,
      };
    case 'no-agent':
      return {
        cause: kind,
        reason: `${start}: the plan has no address at which the agent of ${who} could be asked`,
        mend: `give ${who} its management address in the plan`,
      };
    case 'agent-silent':
      return {
        cause: kind,
        reason: `${start}: nothing could be read from ${who} by SNMP`,
        mend: `see that SNMP is on at ${who} and that its credential is right, then check again`,
      };
    case 'port-not-found':
      return {
        cause: kind,
        reason:
          untold.wanted === undefined
            ? `${start}: ${who} tells its ports, and none of them has its address or MAC alone`
            : `${start}: ${who} tells its ports, and none of them is called ${untold.wanted}`,
        mend: 'write the name that the device gives to this port into the plan (interface)',
      };
    case 'not-told':
      return { cause: kind, reason: `${start}: ${who} does not say it of ${untold.port}` };
  }
}

/** What no run looked at (`--only`). */
export function notLookedAt(stated: Stated, device: string): Fact {
  return unproven(stated, { cause: 'out-of-scope', reason: `this run did not look at ${device}` });
}
