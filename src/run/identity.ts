/** Puts together what several services said of one device, and tells what changed between two looks. Pure. */
import type { IdentitySighting } from '../sighting/types.js';

export function mergeIdentities(parts: readonly IdentitySighting[]): IdentitySighting {
  return Object.assign({}, ...parts);
}

type Changed = NonNullable<IdentitySighting['changed']>;

/** Facts that one device keeps between two connections a moment apart. A title or status may change by itself and is left out. */
const STEADY: readonly {
  readonly what: string;
  readonly of: (identity: IdentitySighting) => string | undefined;
}[] = [
  { what: 'certificate fingerprint', of: (identity) => identity.certificate?.fingerprint256 },
  { what: 'SSH line', of: (identity) => identity.ssh?.line },
  { what: 'Redfish UUID', of: (identity) => identity.redfish?.uuid },
  { what: 'sysName', of: (identity) => identity.snmp?.sysName },
  { what: 'SNMP engine', of: (identity) => identity.snmp?.engineId },
];

export function changedFacts(first: IdentitySighting, then: IdentitySighting): Changed {
  return STEADY.flatMap(({ what, of }) => {
    const [before, after] = [of(first), of(then)];
    return before !== undefined && after !== undefined && before !== after
      ? [{ what, first: before, later: after }]
      : [];
  });
}
