/** A comparison in words, by section: what got worse or is new first. The same on the terminal and on its page. */
import type { Finding } from '../findings/index.js';
import { titleOf } from '../findings/rule-of.js';
import { headingOf, jobListOf } from '../result/jobs.js';
import { cleanText } from '../text/clean.js';
import { count, inWords, list, plural } from '../text/sentence.js';
import { sayCaution } from './caution-words.js';
import { changedFacts, factsGroup } from './fact-words.js';
import { cableRow, exchangeRow, groupRow, toldRow } from './row-words.js';
import type { ComparedRow, ComparedSection } from './section.js';
import type { Comparison, EndpointChange, EndpointPresence, Turn } from './types.js';

/** Sections that have something to say. */
export function comparedSections(comparison: Comparison): readonly ComparedSection[] {
  const { findings, endpoints, equipment, groups, defaults, strangers, observations } = comparison;
  // A cable that moved is told among the cables.
  const changed = withoutMoves(comparison);
  const facts = (turn: Turn) => changedFacts(changed, turn);
  const sections: ComparedSection[] = [
    section(
      'care',
      'Take care',
      comparison.cautions.map((one) => ({ what: sayCaution(one) })),
    ),
    section(
      'new',
      'New findings',
      // What nobody has looked at again stands among what was looked at by eye.
      newFindings(
        findings.new.filter(({ code }) => code !== 'observation-open' || observations.length === 0),
      ),
    ),
    section(
      'severity',
      'Findings that weigh otherwise',
      findings.changed.map(({ before, now }) => ({
        what: `${titleOf(now.code)}: ${now.subject}`,
        before: before.severity,
        now: now.severity,
        more: now.message,
      })),
    ),
    section('exchanged', 'Equipment that was exchanged', equipment.exchanged.map(exchangeRow)),
    section('cables', 'Cables that moved', comparison.cables.map(cableRow)),
    section('worse', 'Was as planned, and is not any more', facts('worse')),
    section('unproven', 'Was proven, and could not be proven now', factsGroup(changed, 'no-longer-proven')),
    section('found', 'Not tested before, and found wrong', facts('found-wrong')),
    section('drift', 'Not as planned before either, and another value now', facts('otherwise')),
    section('groups', 'Redundancy', [
      ...groups.changed.map(groupRow),
      ...groups.new.map((name) => ({ what: name, more: 'new in the plan' })),
      ...groups.gone.map((name) => ({ what: name, more: 'no longer in the plan' })),
    ]),
    section(
      'identity',
      'Identity, as the devices tell it (another card, a new certificate, a device that was set up anew)',
      equipment.identity.map(toldRow),
    ),
    section('links', 'Ports that came up otherwise', equipment.links.map(toldRow)),
    section('software', 'Software, as the devices tell it', equipment.software.map(toldRow)),
    section(
      'eyes',
      'What was looked at by eye',
      observations.map(({ subject, item, before, now }) => ({ what: `${subject}: ${item}`, before, now })),
    ),
    section(
      'defaults',
      'Default addresses',
      defaults.map(({ address, ...states }) => ({ what: address, ...states })),
    ),
    section('strangers', 'Strangers', [
      ...strangers.new.map((one) => ({ what: strangerWords(one), more: 'new' })),
      ...strangers.gone.map((one) => ({ what: strangerWords(one), more: 'answers no more' })),
    ]),
    section('plan', 'The plan', [
      ...comparison.plan.map(({ endpoint, what, before, now }) => ({
        what: `${endpoint}: ${inWords(what)}`,
        before: before || 'not planned',
        now: now || 'not planned',
      })),
      ...endpoints.new.map((one) => ({ what: presenceWords(one), more: `new in the plan, ${one.verdict}` })),
      ...endpoints.gone.map((one) => ({
        what: presenceWords(one),
        more: `no longer in the plan, was ${one.verdict}`,
      })),
    ]),
    section('better', 'Was wrong, and is as planned now', facts('better')),
    section('proven', 'Not proven before, and proven now', factsGroup(changed, 'now-proven')),
    section(
      'cleared',
      'Findings that are gone',
      findings.cleared.map((one) => ({ what: `${one.severity}: ${headingOf(one)}` })),
    ),
  ];
  return sections.filter(({ rows }) => rows.length > 0);
}

export function comparisonHeadline(comparison: Comparison): string {
  const { worse, findings, endpoints, equipment, cables } = comparison;
  const told = [
    amount(
      equipment.exchanged.length,
      'device or controller was exchanged',
      'devices or controllers were exchanged',
    ),
    amount(cables.length, 'cable moved', 'cables moved'),
    amount(endpoints.changed.length, 'endpoint changed', 'endpoints changed'),
    amount(
      equipment.identity.length + equipment.software.length + equipment.links.length,
      'thing that a device tells of itself changed',
      'things that devices tell of themselves changed',
    ),
  ].flat();
  if (!worse) {
    const nothing = comparedSections({ ...comparison, cautions: [] }).length === 0;
    return nothing
      ? `Nothing changed: ${count(endpoints.same, 'endpoint')} as before.`
      : `Nothing got worse. ${sentence([...told, `${count(endpoints.same, 'endpoint')} as before`])}`;
  }
  const { jobs } = jobListOf(findings.new);
  const worseEndpoints = endpoints.changed.filter((change) => change.worse).length;
  return `Worse than before: ${count(jobs.length, 'new job')}, ${count(worseEndpoints, 'endpoint')} no longer as planned. ${sentence([...told, `${count(endpoints.same, 'endpoint')} as before`])}`;
}

/** Verdicts that got worse, which not every one has a finding for. */
export function worseLines(comparison: Comparison): readonly string[] {
  return [
    ...comparison.endpoints.changed
      .filter(({ worse }) => worse)
      .flatMap((endpoint) =>
        endpoint.turn === 'same'
          ? changedFacts([endpoint], 'worse').map(sayRow)
          : [`${cleanText(endpoint.id)}: ${endpoint.before} before, ${endpoint.now} now`],
      ),
    ...comparison.groups.changed.filter(({ worse }) => worse).map((change) => sayRow(groupRow(change))),
  ];
}

/** One row as a line of text. */
export function sayRow({ what, before, now, more }: ComparedRow): string {
  const turned =
    before === undefined ? '' : `: ${cleanText(before, 400)} before, ${cleanText(now ?? '', 400)} now`;
  const rest =
    more === undefined || more === '' ? '' : `${turned === '' ? ': ' : '; '}${cleanText(more, 600)}`;
  return `${cleanText(what, 600)}${turned}${rest}`;
}

function withoutMoves({ endpoints, cables }: Comparison): readonly EndpointChange[] {
  const moved = new Set(cables.map(({ endpoint }) => endpoint));
  return endpoints.changed.map((change) =>
    moved.has(change.id)
      ? {
          ...change,
          facts: change.facts.filter(({ fact }) => fact !== 'switch-port'),
          turn: change.facts.some((one) => one.fact === 'switch-port' && one.turn === change.turn)
            ? ('same' as const)
            : change.turn,
        }
      : change,
  );
}

function section(id: string, title: string, rows: readonly ComparedRow[]): ComparedSection {
  return { id, title, rows };
}

/** Causes, each with how many follow from it: what follows goes away with its cause. */
function newFindings(findings: readonly Finding[]): ComparedRow[] {
  const { jobs, notes } = jobListOf(findings);
  return [...jobs, ...notes].map(({ finding, follows }) => ({
    what: `${finding.severity}: ${headingOf(finding)}`,
    more: `${finding.message}${
      follows.length === 0
        ? ''
        : ` ${count(follows.length, 'finding')} ${plural(follows.length, 'follows', 'follow')} from it: ${list(
            follows.map((one) => headingOf(one.finding)),
            4,
          )}.`
    } (${finding.code})`,
    worse: finding.severity !== 'note',
  }));
}

function strangerWords({ address, mac, network }: Comparison['strangers']['new'][number]): string {
  return [address, mac, network].filter((part) => part !== '').join(', ');
}

function presenceWords({ id, address }: EndpointPresence): string {
  return `${id}${address === '' ? '' : ` (${address})`}`;
}

function amount(number: number, one: string, many: string): string[] {
  return number === 0 ? [] : [count(number, one, many)];
}

function sentence(parts: readonly string[]): string {
  return `${parts.join(', ')}.`;
}
