/** Evidence per endpoint. Terse: one text block a sighting, lines kept by `white-space: pre-line`. */
import type { EndpointResult, Matrix } from '../matrix/matrix.js';
import { groupBy } from '../text/group-by.js';
import { MARKS } from '../text/marks.js';
import { list } from '../text/sentence.js';
import { evidenceLines } from './evidence-lines.js';
import { code, items, text } from './markup.js';
import { jobLinks, type Places } from './places.js';

const JOBS_LINKED = 40;
/** Past this many sightings the texts of devices are cut shorter, so that the page stays small enough to open. */
const MANY_SIGHTINGS = 3000;

export function evidenceSection(matrix: Matrix, places: Places): string {
  const sightings = matrix.endpoints.length * Math.max(1, matrix.vantages.length);
  const limit = sightings > MANY_SIGHTINGS ? 120 : 400;
  return [...groupBy(matrix.endpoints, ({ device }) => device)]
    .map(
      ([device, endpoints]) =>
        `<section class="ev"><h4>${text(device, 80)}</h4>
${endpoints.map((endpoint) => endpointEvidence(endpoint, places, limit)).join('\n')}</section>`,
    )
    .join('\n');
}

function endpointEvidence(endpoint: EndpointResult, places: Places, limit: number): string {
  const number = places.endpoints.get(endpoint.id) ?? 0;
  const { sign, word } = MARKS[endpoint.verdict];
  const jobs = jobLinks(
    [...(places.jobsOf.get(endpoint.id) ?? []), ...(places.groupJobsOf.get(endpoint.id) ?? [])],
    JOBS_LINKED,
  );
  const planned = plannedLine(endpoint, places);
  const seen = seenBlocks(endpoint, limit);
  return `<div class="one" id="v${number}"><h5><b>${sign}</b> ${code(endpoint.id, 120)} ${word}</h5><p class="s">${planned}</p>${items(
    endpoint.reasons.map((reason) => text(reason, limit)),
  )}${differences(endpoint, limit)}${seen}<p class="bk"><a href="#e${number}">row of ${text(endpoint.id, 120)}</a>${jobs === '' ? '' : ` · ${jobs}`}</p></div>`;
}

/** A line is said once, with all the vantages that it holds for; so what they saw differently stands out. */
function seenBlocks({ sightings }: EndpointResult, limit: number): string {
  const saidFrom = new Map<string, string[]>();
  for (const sighting of sightings)
    for (const line of evidenceLines(sighting)) {
      const known = saidFrom.get(line);
      if (known === undefined) saidFrom.set(line, [sighting.vantage]);
      else if (!known.includes(sighting.vantage)) known.push(sighting.vantage);
    }
  const lines = [...saidFrom].map(([line, from]) => ({ line, from }));
  return blocks(lines, limit);
}

function blocks(
  lines: readonly { readonly line: string; readonly from: readonly string[] }[],
  limit: number,
): string {
  return [...groupBy(lines, ({ from }) => from.join('\n')).values()]
    .map((block) => {
      const names = (block[0]?.from ?? []).map((name) => text(name, 60));
      const said = block.map(({ line }) => `\n${text(line, limit)}`).join('');
      return `<p class="s"><b>from ${list(names, Number.POSITIVE_INFINITY)}</b>${said}</p>`;
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
