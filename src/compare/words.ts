/** A comparison in words, by section: what got worse or is new first. The same on the terminal and on its page. */
import type { Finding } from '../findings/index.js';
import { titleOf } from '../findings/rule-of.js';
import type { Thing } from '../matrix/matrix.js';
import { describeThing } from '../redundancy/things.js';
import { cleanText } from '../text/clean.js';
import { GROUP_MARKS } from '../text/marks.js';
import { count, list, plural } from '../text/sentence.js';
import type { Comparison, EndpointChange, EndpointPresence, FactChange, GroupChange } from './types.js';

/** Longest text of a device that is shown; the JSON has all of it. */
const FACT_LIMIT = 120;
/** Eight octets tell two certificates apart for eyes. */
const FINGERPRINT_SHOWN = 23;

export interface ComparedSection {
  readonly title: string;
  readonly lines: readonly string[];
}

/** Sections that have something to say. */
export function comparedSections(comparison: Comparison): readonly ComparedSection[] {
  const { findings, endpoints, groups, defaults } = comparison;
  const ofKinds = (...kinds: readonly FactChange['kind'][]) =>
    endpoints.changed.flatMap(({ id, facts }) =>
      facts.filter(({ kind }) => kinds.includes(kind)).map((fact) => factLine(id, fact)),
    );
  const sections: ComparedSection[] = [
    { title: 'Take care', lines: comparison.cautions },
    { title: 'New findings', lines: findings.new.map(findingLine) },
    {
      title: 'Findings with another severity or other numbers',
      lines: findings.changed.map(changedFindingLine),
    },
    {
      title: 'Endpoints with another verdict',
      lines: endpoints.changed.filter(({ before, now }) => before !== now).map(verdictLine),
    },
    {
      title: 'Redundancy',
      lines: [
        ...groups.changed.map(groupLine),
        ...groups.new.map((name) => `${cleanText(name)}: new in the plan`),
        ...groups.gone.map((name) => `${cleanText(name)}: no longer in the plan`),
      ],
    },
    { title: 'Another device, or another card in it', lines: ofKinds('box') },
    { title: 'Links and cables', lines: ofKinds('link') },
    { title: 'Address and network in the plan', lines: ofKinds('place') },
    { title: 'Software, as the devices tell it', lines: ofKinds('software') },
    {
      title: 'Default addresses',
      lines: defaults.map(
        ({ address, before, now }) => `${cleanText(address)}: ${before} before, ${now} now`,
      ),
    },
    { title: 'New in the plan', lines: endpoints.new.map(presenceLine) },
    { title: 'No longer in the plan', lines: endpoints.gone.map(presenceLine) },
    { title: 'Findings that are gone', lines: findings.cleared.map(findingLine) },
  ];
  return sections.filter(({ lines }) => lines.length > 0);
}

export function comparisonHeadline({ worse, findings, endpoints, groups, defaults }: Comparison): string {
  const nothing =
    endpoints.changed.length + endpoints.new.length + endpoints.gone.length === 0 &&
    groups.changed.length + groups.new.length + groups.gone.length + defaults.length === 0 &&
    findings.new.length + findings.cleared.length + findings.changed.length === 0;
  if (nothing) return `Nothing changed: ${count(endpoints.same, 'endpoint')} as before.`;
  if (!worse)
    return `Nothing got worse: ${count(endpoints.changed.length, 'endpoint')} changed, ${endpoints.same} as before.`;
  const worseEndpoints = endpoints.changed.filter((change) => change.worse).length;
  const open = findings.new.filter(({ severity }) => severity !== 'note').length;
  return `Worse than before: ${count(open, 'new finding')} to fix, ${count(worseEndpoints, 'endpoint')} no longer ${plural(worseEndpoints, 'matches', 'match')}.`;
}

/** Verdicts that got worse, which not every one has a finding for. */
export function worseLines({ endpoints, groups }: Comparison): readonly string[] {
  return [
    ...endpoints.changed.filter(({ worse }) => worse).map(verdictLine),
    ...groups.changed.filter(({ worse }) => worse).map(groupLine),
  ];
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
  const [was, is] = [GROUP_MARKS[before].word, GROUP_MARKS[now].word];
  const verdict = before === now ? `${is} as before` : `${was} before, ${is} now`;
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
