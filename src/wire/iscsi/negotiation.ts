/** What we offer at login, and our answers to what a target offers (RFC 7143 §6.2, §12, §13). */

import type { KeyValue } from './keys.js';
import { DATA_SEGMENT_LIMIT } from './pdu.js';

/**
 * The name we give ourselves: RFC 7143 §4.2.7.4 form, in the naming authority that the RFC itself uses for examples, so that it can
 * be no one's real initiator. A target that lists by initiator shows it nothing but what everybody may see.
 */
const INITIATOR_NAME = 'iqn.2001-04.com.example:matchmark';

export const SECURITY_OFFER: readonly KeyValue[] = [
  ['InitiatorName', INITIATOR_NAME],
  ['SessionType', 'Discovery'],
  ['AuthMethod', 'None'],
];

export const OPERATIONAL_OFFER: readonly KeyValue[] = [
  ['HeaderDigest', 'None'],
  ['DataDigest', 'None'],
  ['MaxRecvDataSegmentLength', String(DATA_SEGMENT_LIMIT)],
];

const OFFERED = new Set([...SECURITY_OFFER, ...OPERATIONAL_OFFER].map(([key]) => key));

/** Declared by one side and never answered (RFC 7143 §13: "Use: ... declarative"). */
const DECLARATIONS = new Set([
  'TargetName',
  'TargetAlias',
  'TargetAddress',
  'TargetPortalGroupTag',
  'MaxRecvDataSegmentLength',
]);

/**
 * Answers where the key has none of its own here: `Irrelevant` in a discovery session (§13, "Irrelevant when"), defaults of §13.15,
 * §13.16 and §13.20, and for the obsolete markers what §13.25 asks for.
 */
const ANSWERS: ReadonlyMap<string, string> = new Map(
  Object.entries({
    DefaultTime2Wait: '2',
    DefaultTime2Retain: '20',
    ErrorRecoveryLevel: '0',
    IFMarker: 'No',
    OFMarker: 'No',
    IFMarkInt: 'Reject',
    OFMarkInt: 'Reject',
  }),
);

const IRRELEVANT = new Set([
  'MaxConnections',
  'InitialR2T',
  'ImmediateData',
  'MaxBurstLength',
  'FirstBurstLength',
  'MaxOutstandingR2T',
  'DataPDUInOrder',
  'DataSequenceInOrder',
  'TaskReporting',
]);

/** Most keys answered at once; a target opens a handful. */
const ANSWER_LIMIT = 64;

/** Answers that a target waits for: to each key it opened itself. `Irrelevant` and `NotUnderstood` are reserved values of §6.2. */
export function answersTo(pairs: readonly KeyValue[]): readonly KeyValue[] {
  return pairs
    .filter(([key]) => !OFFERED.has(key) && !DECLARATIONS.has(key))
    .slice(0, ANSWER_LIMIT)
    .map(
      ([key]): KeyValue => [key, ANSWERS.get(key) ?? (IRRELEVANT.has(key) ? 'Irrelevant' : 'NotUnderstood')],
    );
}
