/** A survey as terminal text: what is in the way first, then who answered. */
import type { Survey, SurveyEntry } from '../matrix/survey.js';
import { cleanText } from '../text/clean.js';
import { count } from '../text/sentence.js';
import { renderFindings } from './findings.js';
import type { TextStyle } from './style.js';
import { wrap } from './wrap.js';

export function renderSurvey(survey: Survey, style: TextStyle): string {
  const { entries, asked, silent, unproven } = survey;
  const networks = asked.networks.map(
    ({ network, addresses }) => `${network} (${count(addresses, 'address', 'addresses')})`,
  );
  const parts = [
    wrap(style, `Survey of ${cleanText(survey.site)} from ${cleanText(survey.vantage)}`),
    wrap(
      style,
      `Asked ${count(asked.planned, 'planned address', 'planned addresses')} and ${count(asked.defaults, 'default')}` +
        `${networks.length === 0 ? '' : `, and the networks ${networks.join(', ')}`}: ` +
        `${entries.length} answered, ${silent.length} silent, ${unproven.length} could not be asked.`,
    ),
    survey.findings.length === 0 ? wrap(style, nothingFound(survey)) : renderFindings(survey.findings, style),
    ...(entries.length === 0
      ? []
      : [
          ['Who answered:\n', ...entries.map((entry) => wrap(style, entryLine(entry), '  ', '      '))].join(
            '',
          ),
        ]),
    ...(unproven.length === 0
      ? []
      : [['Not asked:\n', ...grouped(unproven).map((line) => wrap(style, line, '  ', '      '))].join('')]),
  ];
  return `${parts.map((part) => part.trimEnd()).join('\n\n')}\n`;
}

/** Silence says something only of those that could be asked. */
function nothingFound({ entries, silent, unproven }: Survey): string {
  if (entries.length + silent.length === 0)
    return `Nothing was tested: none of ${count(unproven.length, 'address', 'addresses')} could be asked from here.`;
  return unproven.length === 0
    ? 'Nothing is in the way.'
    : `Nothing is in the way at the ${count(entries.length + silent.length, 'address', 'addresses')} that could be asked.`;
}

function entryLine({ address, macs, maker, kind, devices, identity }: SurveyEntry): string {
  const says = [
    identity.snmp?.sysName,
    identity.https?.title ?? identity.http?.title,
    identity.ssh?.line,
  ].find((text) => text !== undefined && text !== '');
  const whose = kind === 'other' ? 'not in the plan' : `${kind} address of ${devices.join(', ')}`;
  const words = [
    address,
    macs.length === 0 ? 'its MAC not seen' : macs.join(' and '),
    ...(maker === undefined ? [] : [maker]),
    ...(says === undefined ? [] : [`says "${says}"`]),
    whose,
  ];
  return `${words.map((word) => cleanText(word)).join(', ')}`;
}

/** One line for each reason, with its addresses. */
function grouped(unproven: Survey['unproven']): string[] {
  const byReason = new Map<string, string[]>();
  for (const { address, reason } of unproven)
    byReason.set(reason, [...(byReason.get(reason) ?? []), address]);
  return [...byReason].map(([reason, addresses]) => {
    const shown = addresses.slice(0, 6).join(', ');
    const more = addresses.length > 6 ? ` and ${addresses.length - 6} more` : '';
    return `${shown}${more}: ${cleanText(reason, 600)}`;
  });
}
