/** DESIGN 6: how an endpoint's verdict follows from what was seen. The first row that fits decides. */

import { cablingRow, lastRow } from './as-planned.js';
import { duplicate } from './duplicate.js';
import type { EndpointFacts, Row, RowOutcome } from './facts.js';
import { noAddress } from './no-address.js';
import { notLookedAt, notReachable, ownAddress, routedUnknown } from './not-seen.js';
import { servicesRow, snmpNote } from './services-row.js';
import { claimedSilent, silent } from './silent.js';
import { unidentified } from './unidentified.js';
import { wrongDeviceRow } from './wrong-device.js';

export const CONFIGURED_ROWS: readonly Row[] = [
  noAddress,
  notLookedAt,
  ownAddress,
  notReachable,
  routedUnknown,
  silent,
  claimedSilent,
  duplicate,
  wrongDeviceRow,
  servicesRow,
  cablingRow,
];

/** Rows after which a box is known to be there and to be the right one: SNMP that said nothing is worth a note then, an identity that was not read a word. */
const RIGHT_BOX: ReadonlySet<Row> = new Set([servicesRow, cablingRow]);

export function outcomeOf(facts: EndpointFacts): RowOutcome {
  for (const row of CONFIGURED_ROWS) {
    const outcome = row(facts);
    if (outcome === undefined) continue;
    return RIGHT_BOX.has(row) ? withUnread(facts, outcome) : outcome;
  }
  return withUnread(facts, lastRow(facts));
}

function withUnread(facts: EndpointFacts, outcome: RowOutcome): RowOutcome {
  return {
    ...outcome,
    reasons: [...outcome.reasons, ...unidentified(facts)],
    findings: [...outcome.findings, ...snmpNote(facts)],
  };
}
