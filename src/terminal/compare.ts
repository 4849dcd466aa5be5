/** A comparison as terminal text: what got worse or is new first, then what changed, then what was settled. */
import type {
  Comparison,
  EndpointChange,
  EndpointPresence,
  FactChange,
  GroupChange,
} from '../compare/types.js';
import type { Finding } from '../findings/index.js';
import { titleOf } from '../findings/rule-of.js';
import type { Thing } from '../matrix/matrix.js';
import { describeThing } from '../redundancy/things.js';
import { cleanText } from '../text/clean.js';
import { count, list } from '../text/sentence.js';
import { ink, type TextStyle } from './style.js';
import { wrap } from './wrap.js';

/** Longest text of a device that is shown; the JSON has all of it. */
const FACT_LIMIT = 120;
/** Eight octets tell two certificates apart for eyes. */
const FINGERPRINT_SHOWN = 23;

export function renderComparison(comparison: Comparison, style: TextStyle): string {
  const { findings, endpoints, groups, defaults } = comparison;
  const section = (title: string, lines: readonly string[]): string =>
    lines.length === 0
      ? ''
      : `${ink(style, title, 'bold')}\n${lines.map((line) => wrap(style, line, '  ', '      ')).join('')}`;
  const ofKinds = (...kinds: readonly FactChange['kind'][]) =>
    endpoints.changed.flatMap(({ id, facts }) =>
      facts.filter(({ kind }) => kinds.includes(kind)).map((fact) => factLine(id, fact)),
    );
  const parts = [
    heading(comparison, style),
    section('Take care', comparison.cautions),
    section('New findings', findings.new.map(findingLine)),
    section('Findings with another severity or other numbers', findings.changed.map(changedFindingLine)),
    section(
      'Endpoints with another verdict',
      endpoints.changed.filter(({ before, now }) => before !== now).map(verdictLine),
    ),
    section('Redundancy', [
      ...groups.changed.map(groupLine),
      ...groups.new.map((name) => `${cleanText(name)}: new in the plan`),
      ...groups.gone.map((name) => `${cleanText(name)}: no longer in the plan`),
    ]),
    section('Another box, or another card in it', ofKinds('box')),
    section('Links and cables', ofKinds('link')),
    section('Address and network in the plan', ofKinds('place')),
    section('Software, as the boxes tell it', ofKinds('software')),
    section(
      'Default addresses',
      defaults.map(({ address, before, now }) => `${cleanText(address)}: ${before} before, ${now} now`),
    ),
    section('New in the plan', endpoints.new.map(presenceLine)),
    section('No longer in the plan', endpoints.gone.map(presenceLine)),
    section('Findings that are cleared', findings.cleared.map(findingLine)),
    closing(comparison, style),
  ];
  return parts.filter((part) => part !== '').join('\n');
}

/** The same for --quiet, beside the new findings: verdicts that got worse, which not every one has a finding for. */
export function renderWorse({ endpoints, groups }: Comparison, style: TextStyle): string {
  return [
    ...endpoints.changed.filter(({ worse }) => worse).map(verdictLine),
    ...groups.changed.filter(({ worse }) => worse).map(groupLine),
  ]
    .map((line) => wrap(style, line, '', '    '))
    .join('');
}

function heading({ old, new: fresh }: Comparison, style: TextStyle): string {
  const from = `${cleanText(old.site)}, ${cleanText(old.startedAt)} from ${list(old.vantages.map((name) => cleanText(name)))}`;
  const to = `${cleanText(fresh.site)}, ${cleanText(fresh.startedAt)} from ${list(fresh.vantages.map((name) => cleanText(name)))}`;
  return `${wrap(style, from, 'Before: ')}${wrap(style, to, 'Now:    ')}`;
}

function closing({ worse, findings, endpoints, groups, defaults }: Comparison, style: TextStyle): string {
  const nothing =
    endpoints.changed.length + endpoints.new.length + endpoints.gone.length === 0 &&
    groups.changed.length + groups.new.length + groups.gone.length + defaults.length === 0 &&
    findings.new.length + findings.cleared.length + findings.changed.length === 0;
  const worseEndpoints = endpoints.changed.filter((change) => change.worse).length;
  const open = findings.new.filter(({ severity }) => severity !== 'note').length;
  const words = nothing
    ? `Nothing changed: ${count(endpoints.same, 'endpoint')} as before.`
    : worse
      ? `Worse than before: ${count(open, 'new finding')} to settle, ${count(worseEndpoints, 'endpoint')} no longer ${worseEndpoints === 1 ? 'matches' : 'match'}.`
      : `Nothing got worse: ${count(endpoints.changed.length, 'endpoint')} changed, ${endpoints.same} as before.`;
  return ink(
    style,
    wrap(style, words).trimEnd(),
    ...(worse ? (['bold', 'red'] as const) : (['bold'] as const)),
  ).concat('\n');
}

function findingLine({ severity, code, subject, message }: Finding): string {
  return `${severity}: ${cleanText(titleOf(code))}: ${cleanText(subject)}: ${cleanText(message, 600)} (${cleanText(code)})`;
}

function changedFindingLine({ before, now }: { readonly before: Finding; readonly now: Finding }): string {
  const was =
    before.severity === now.severity
      ? `before: ${cleanText(before.message, 600)}`
      : `before: ${before.severity}`;
  return `${findingLine(now)}; ${was}`;
}

function verdictLine({ id, before, now, reasons }: EndpointChange): string {
  const why =
    reasons.length === 0
      ? ''
      : `: ${list(
          reasons.map((reason) => cleanText(reason)),
          3,
        )}`;
  return `${cleanText(id)}: ${before} before, ${now} now${why}`;
}

function groupLine({ name, before, now, newSinglePoints, goneSinglePoints }: GroupChange): string {
  const verdict = before === now ? `${now} as before` : `${before} before, ${now} now`;
  const fresh = newSinglePoints.length === 0 ? '' : `; new single point: ${things(newSinglePoints)}`;
  const gone = goneSinglePoints.length === 0 ? '' : `; no longer a single point: ${things(goneSinglePoints)}`;
  return `${cleanText(name)}: ${verdict}${fresh}${gone}`;
}

function things(points: readonly Thing[]): string {
  return list(points.map((point) => cleanText(describeThing(point))));
}

function factLine(id: string, { fact, before, now }: FactChange): string {
  const shown = (text: string) =>
    fact === 'certificate fingerprint' && text.length > FINGERPRINT_SHOWN
      ? `"${cleanText(text.slice(0, FINGERPRINT_SHOWN))}…"`
      : `"${cleanText(text, FACT_LIMIT)}"`;
  return `${cleanText(id)}: ${fact} was ${shown(before)} and is ${shown(now)}`;
}

function presenceLine({ id, address, verdict }: EndpointPresence): string {
  return `${cleanText(id)}${address === '' ? '' : ` (${cleanText(address)})`}: ${verdict}`;
}
