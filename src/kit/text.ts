/** The kit as terminal text. Pure: a string comes back. */
import type { Abilities, Ability, Vantage, VantageInterface } from '../sighting/types.js';
import type { TextStyle } from '../terminal/style.js';
import { padTo, wrap } from '../terminal/wrap.js';
import { cleanText } from '../text/clean.js';
import { count } from '../text/sentence.js';
import type { Gap } from './gaps.js';

const LABEL_WIDTH = 18;

/** `heard`: what listening for the switch brought, as sentences; absent where nobody listened. */
export function kitText(
  vantage: Vantage,
  gaps: readonly Gap[],
  style: TextStyle,
  heard?: readonly string[],
): string {
  const { abilities } = vantage;
  const lines = [
    `Vantage ${cleanText(vantage.name)} (${cleanText(vantage.platform)})`,
    '',
    'Programs and rights',
    ...abilityRows(abilities),
    row('administrator', abilities.privileged ? 'yes' : 'no'),
    '',
    'Ports',
    ...vantage.interfaces.flatMap(portRows),
    '',
    ...(heard === undefined ? [] : ['Switch', ...heard.map((text) => wrap(style, text, '  ').trimEnd()), '']),
    ...gapRows(gaps, style),
  ];
  return `${lines.join('\n')}\n`;
}

function abilityRows({ ping, capture, arping, neighbourTable }: Abilities): string[] {
  return [
    row('ping', abilityWords(ping, ping.able ? ping.flavour : undefined)),
    row('capture', abilityWords(capture, capture.able ? capture.program : undefined)),
    row('arping', abilityWords(arping, arping.able ? arping.flavour : undefined)),
    row('neighbour table', abilityWords(neighbourTable, 'can be read')),
  ];
}

function abilityWords(ability: Ability, kind: string | undefined): string {
  if (!ability.able) return `no: ${cleanText(ability.reason)}`;
  return ['yes', kind, ability.version].filter((part) => part !== undefined).join(' ');
}

function portRows(port: VantageInterface): string[] {
  const facts = [
    port.up ? 'up' : 'down',
    ...(port.mac === '' || port.mac === '00:00:00:00:00:00' ? [] : [port.mac]),
    ...(port.mtu === undefined ? [] : [`MTU ${port.mtu}`]),
  ];
  const addresses = port.addresses.length === 0 ? ['no address'] : port.addresses;
  return [row(cleanText(port.name), facts.join(', ')), ...addresses.map((text) => row('', text))];
}

function gapRows(gaps: readonly Gap[], style: TextStyle): string[] {
  if (gaps.length === 0)
    return ['No gaps: everything that can be proven by looking can be proven from here.'];
  const text = gaps.map(
    (gap, index) =>
      wrap(style, gap.what, `  ${index + 1}. `) +
      wrap(style, `not proven: ${gap.cost}`, '     ') +
      // A command stays on one line, so that it can be copied.
      (gap.mend === undefined ? '' : `     to fix: ${cleanText(gap.mend, 400)}\n`),
  );
  return [`${count(gaps.length, 'gap')}, and what each costs`, text.join('\n').trimEnd()];
}

function row(label: string, text: string): string {
  return `  ${padTo(label, LABEL_WIDTH)}${text}`;
}
