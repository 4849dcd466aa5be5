/** Evidence per endpoint, folded. Terse: one text block a sighting, lines kept by `white-space: pre-line`. */
import type { EndpointResult, Matrix } from '../matrix/matrix.js';
import { groupBy } from '../result/relate.js';
import { MARKS } from '../text/marks.js';
import { list } from '../text/sentence.js';
import { evidenceLines } from './evidence-lines.js';
import { code, items, text } from './markup.js';
import type { Places } from './places.js';

const FINDINGS_LINKED = 40;
/** Past this many sightings the texts of devices are cut shorter, so that the page stays small enough to open. */
const MANY_SIGHTINGS = 3000;

export function evidenceSection(matrix: Matrix, places: Places): string {
  const sightings = matrix.endpoints.length * Math.max(1, matrix.vantages.length);
  const limit = sightings > MANY_SIGHTINGS ? 120 : 400;
  const short = matrix.endpoints.some(({ verdict }) => verdict === 'matches')
    ? '<p class="paper">On paper an endpoint that matches has only what says who answered. The page on a screen, and the result beside it, have the whole of it.</p>\n'
    : '';
  const devices = [...groupBy(matrix.endpoints, ({ device }) => device)]
    .map(
      ([device, endpoints]) =>
        `<section class="ev"><h3>${text(device, 80)}</h3>
${endpoints.map((endpoint) => endpointEvidence(endpoint, places, limit)).join('\n')}</section>`,
    )
    .join('\n');
  return short + devices;
}

function endpointEvidence(endpoint: EndpointResult, places: Places, limit: number): string {
  const number = places.endpoints.get(endpoint.id) ?? 0;
  const { sign, word } = MARKS[endpoint.verdict];
  const findings = (places.speakingOf.get(endpoint.id) ?? [])
    .slice(0, FINDINGS_LINKED)
    .map((each) => `<a href="#f${each.number}">finding ${each.number}</a>`)
    .join(', ');
  const planned = plannedLine(endpoint, places);
  const seen = seenBlocks(endpoint, limit);
  return `<details data-e="${number}"${endpoint.verdict === 'matches' ? ' class="m"' : ''}><summary><b>${sign}</b> ${code(endpoint.id, 120)} ${word}</summary><div id="v${number}"><p class="s">${planned}</p>${items(
    endpoint.reasons.map((reason) => text(reason, limit)),
  )}${differences(endpoint, limit)}${seen}<p class="bk"><a href="#e${number}">row of ${text(endpoint.id, 120)}</a>${findings === '' ? '' : ` · ${findings}`}</p></div></details>`;
}

/** Of an endpoint that matches, paper keeps who answered; of all others everything. */
const KEPT_ON_PAPER = /^(?:Address|Services|Says by [A-Za-z]+|Port|Switch port|Changed while we looked): /;
const KEPT_LINES = 5;

/** A line is said once, with all the vantages that it holds for; so what they saw differently stands out. */
function seenBlocks({ verdict, sightings }: EndpointResult, limit: number): string {
  const saidFrom = new Map<string, string[]>();
  for (const sighting of sightings)
    for (const line of evidenceLines(sighting)) {
      const known = saidFrom.get(line);
      if (known === undefined) saidFrom.set(line, [sighting.vantage]);
      else if (!known.includes(sighting.vantage)) known.push(sighting.vantage);
    }
  const lines = [...saidFrom].map(([line, from]) => ({ line, from }));
  if (verdict !== 'matches') return blocks(lines, limit, 's');
  const kept = new Set(lines.filter(({ line }) => KEPT_ON_PAPER.test(line)).slice(0, KEPT_LINES));
  return (
    blocks([...kept], limit, 's') +
    blocks(
      lines.filter((each) => !kept.has(each)),
      limit,
      's w',
    )
  );
}

function blocks(
  lines: readonly { readonly line: string; readonly from: readonly string[] }[],
  limit: number,
  className: string,
): string {
  return [...groupBy(lines, ({ from }) => from.join('\n')).values()]
    .map((block) => {
      const names = (block[0]?.from ?? []).map((name) => text(name, 60));
      const said = block.map(({ line }) => `\n${text(line, limit)}`).join('');
      return `<p class="${className}"><b>from ${list(names, Number.POSITIVE_INFINITY)}</b>${said}</p>`;
    })
    .join('');
}

function plannedLine({ id, address, network, role, group }: EndpointResult, places: Places): string {
  const plan = places.planned.get(id);
  const parts = [
    role,
    address,
    network === '' ? '' : `on ${network}`,
    group === '' ? '' : `group ${group}`,
    plan?.services.map(({ name }) => name).join(' ') ?? '',
    plan?.mac ?? '',
    plan?.switch === undefined ? '' : `at ${plan.switch} ${plan.switchPort ?? ''}`.trim(),
    plan?.note === undefined ? '' : `note: ${plan.note}`,
    ...Object.entries(plan?.extra ?? {}).map(([header, value]) => `${header}: ${value}`),
  ];
  return `<b>Planned:</b> ${text(parts.filter((part) => part !== '').join(' · '), 400)}`;
}

function differences({ differences: found }: EndpointResult, limit: number): string {
  if (found.length === 0) return '';
  const rows = found.map(
    ({ field, planned, measured, evidence }) =>
      `<tr><th scope="row">${text(field, 60)}</th><td>${text(planned, limit)}</td><td>${text(measured, limit)}</td><td>${text(evidence, limit)}</td></tr>`,
  );
  return `<table class="plain"><thead><tr><th scope="col">What</th><th scope="col">Planned</th><th scope="col">Measured</th><th scope="col">Shown by</th></tr></thead><tbody>${rows.join('')}</tbody></table>`;
}
