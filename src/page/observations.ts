/** What only eyes can prove, and who answers at addresses where nobody should. */

import type { Matrix, ObservationResult } from '../matrix/matrix.js';
import { amountWords } from '../text/amount.js';
import { MARKS, NOTHING } from '../text/marks.js';
import { MARK_CLASS } from './mark-class.js';
import { code, table, text } from './markup.js';
import type { Places } from './places.js';
import { time } from './time.js';

export function observationsSection({ observations }: Matrix, { zoneMinutes }: Places): string {
  if (observations.length === 0)
    return '<p>The plan asks for nothing to be looked at. Lamps, labels and Fibre Channel light were not recorded.</p>';
  const rows = observations.map((each) => [
    text(each.subject),
    text(each.item),
    text(each.expect),
    each.saw === undefined ? '<span class="blank"></span>' : text(each.saw),
    each.by === undefined ? '<span class="blank"></span>' : text(each.by, 80),
    each.at === undefined ? NOTHING : time(each.at, zoneMinutes),
    verdict(each),
  ]);
  return table(
    'Observations',
    ['Subject', 'Item', 'Expected', 'Seen', 'By', 'When', 'Verdict'],
    rows,
    'observed',
  );
}

function verdict({ verdict: word }: ObservationResult): string {
  if (word === 'open') return '<b class="u">?</b> open: look and write it down';
  return `<b class="${MARK_CLASS[word]}">${MARKS[word].sign}</b> ${MARKS[word].word}`;
}

const DEFAULT_WORDS = {
  silent: '<b>=</b> silent, as it should be',
  answers: '<b class="d">≠</b> still answers',
  clash: '<b class="d">≠</b> answers from more than one device',
  unproven: '<b class="u">?</b> unproven',
} as const;

/** Default addresses and strangers: both are addresses that no endpoint of the plan should answer at. */
export function besidePlanSection({ defaults, strangers }: Matrix): string {
  const defaultRows = defaults.map(({ address, devices, macs, outcome, reasons }) => [
    code(address),
    devices.map((device) => text(device, 80)).join(', '),
    DEFAULT_WORDS[outcome],
    macs.map((mac) => code(mac)).join(' '),
    reasons.map((reason) => text(reason)).join('<br>'),
  ]);
  const strangerRows = strangers.map(({ address, mac, network, maker }) => [
    code(address),
    code(mac),
    text(network, 80),
    maker === undefined ? '' : text(maker, 80),
  ]);
  const parts = [
    table('Default addresses', ['Address', 'Default of', 'Outcome', 'Held by', 'Why'], defaultRows, '', true),
    table(
      'Strangers: addresses that answer and that the plan does not have',
      ['Address', 'MAC', 'Network', 'Maker of the MAC'],
      strangerRows,
      '',
      true,
    ),
  ].filter((part) => part !== '');
  return parts.join('\n');
}

export function capacitySection({ capacity }: Pick<Matrix, 'capacity'>): string {
  return table(
    'Addresses left in each network',
    ['Network', 'Range', 'Usable', 'Planned', 'Reserved', 'Left'],
    capacity.map(({ network, cidr, usable, planned, reserved, left }) => [
      text(network, 80),
      code(cidr),
      ...[usable, planned, reserved, left].map((amount) => `<span class="n">${amountWords(amount)}</span>`),
    ]),
    'numbers',
    true,
  );
}
