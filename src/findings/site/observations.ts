/** What only eyes prove, and what the clock says of certificates. */
import { commandText } from '../../text/command-word.js';
import { list } from '../../text/sentence.js';
import { timeWords } from '../../text/time.js';
import { rule } from '../define.js';

export const OBSERVATION_RULES = {
  'observation-open': rule<{
    subject: string;
    item: string;
    expect?: string | undefined;
    /** Somebody looked, and whether that is what was expected cannot be told from the words. */
    saw?: string | undefined;
    by?: string | undefined;
  }>({
    severity: 'note',
    family: 'site',
    column: 'light',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Nobody has looked yet',
    message: ({ subject, item, expect, saw, by }) =>
      saw === undefined
        ? `${subject}: ${item} has not been looked at yet${expect === undefined ? '' : ` (expected: ${expect})`}.`
        : `${subject}: ${item} was seen as "${saw}" by ${by ?? 'somebody'}; whether that is "${expect ?? 'as it should be'}" was not said.`,
    advice: ({ subject, item }) =>
      `Look, then record it: matchmark attest RUN --subject ${commandText(subject, 'SUBJECT')} --item ${commandText(item, 'ITEM')} --saw "..." --by "your name"`,
    explain: {
      means: 'The plan asks for something that the network cannot show: a lamp, a label, light on a fibre.',
      matters: 'Without a name and a time beside it, nobody can say later whether it was looked at.',
      seen: 'No attestation in the run has this subject and this item.',
      todo: 'Look at it and record it with matchmark attest.',
    },
  }),

  'observation-differs': rule<{
    subject: string;
    item: string;
    expect?: string | undefined;
    saw: string;
    by: string;
    at: string;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'light',
    endsPath: true,
    consequence: false,
    joins: 'none',
    title: 'What was seen is not what was expected',
    message: ({ subject, item, expect, saw, by, at }) =>
      `${subject}: ${item} was seen as "${saw}" by ${by} on ${timeWords(at)}${expect === undefined ? '' : `, expected "${expect}"`}.`,
    advice: ({ subject, item }) =>
      `Put ${item} of ${subject} right, or correct the expectation in the plan, then look again and record it with matchmark attest.`,
    explain: {
      means: 'Somebody looked, and wrote down something other than the plan expects.',
      matters: 'An amber lamp or a wrong label is a fault that no packet shows.',
      seen: 'The text of the latest attestation is compared with the expectation: case, punctuation and the order of words play no part, words for the same lamp are the same, and a link light may blink. Where words cannot tell, the person was asked.',
      todo: 'Repair it, look again, attest again: the latest attestation counts.',
    },
  }),

  'certificate-expired': rule<{
    endpoints: readonly string[];
    subject: string;
    validFrom: string;
    validTo: string;
    at: string;
    /** expired, or not valid yet (often a clock that is wrong). */
    how: 'expired' | 'early';
    /** Minutes that times are told ahead of UTC. */
    zoneMinutes?: number | undefined;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'box',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'A certificate is out of its dates',
    message: ({ endpoints, subject, validFrom, validTo, at, how, zoneMinutes }) =>
      how === 'expired'
        ? `The certificate of ${list(endpoints)} (${subject}) ran out on ${timeWords(validTo, zoneMinutes)}; the run was at ${timeWords(at, zoneMinutes)}.`
        : `The certificate of ${list(endpoints)} (${subject}) is valid only from ${timeWords(validFrom, zoneMinutes)}; the run was at ${timeWords(at, zoneMinutes)} by the laptop's clock.`,
    advice: ({ endpoints, how }) =>
      how === 'expired'
        ? `Have ${list(endpoints)} make or install a new certificate before handover.`
        : `Check the date on this laptop and on ${list(endpoints)}; if both are right, have the certificate made again.`,
    explain: {
      means: 'The dates in the certificate of a web service do not cover the time of the run.',
      matters:
        'Browsers and monitoring refuse or warn, and people learn to click warnings away. A certificate from the future is a sign of a clock that is wrong.',
      seen: "Validity dates of the certificate (RFC 5280 §4.1.2.5) against the laptop's clock at the start of the run.",
      todo: 'Set the clocks, then renew the certificate. A certificate that is not valid yet is a note, since the laptop may be the one that is wrong.',
    },
  }),
} as const;
