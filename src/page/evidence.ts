/** Evidence per endpoint, folded. Terse: one text block a sighting, lines kept by `white-space: pre-line`. */
import type { EndpointResult, Matrix } from '../result/matrix.js';
import { groupBy } from '../result/relate.js';
import { MARKS } from '../text/marks.js';
import { evidenceLines } from './evidence-lines.js';
import { code, items, text } from './markup.js';
import type { Places } from './places.js';

/** Past this many sightings the texts of devices are cut shorter, so that the page stays small enough to open. */
const MANY_SIGHTINGS = 3000;

export function evidenceSection(matrix: Matrix, places: Places): string {
  const sightings = matrix.endpoints.length * Math.max(1, matrix.vantages.length);
  const limit = sightings > MANY_SIGHTINGS ? 120 : 400;
  return [...groupBy(matrix.endpoints, ({ device }) => device)]
    .map(
      ([device, endpoints]) =>
        `<section class="ev"><h3>${text(device, 80)}</h3>
${endpoints.map((endpoint) => endpointEvidence(endpoint, places, limit)).join('\n')}</section>`,
    )
    .join('\n');
}

function endpointEvidence(endpoint: EndpointResult, places: Places, limit: number): string {
  const number = places.endpoints.get(endpoint.id) ?? 0;
  const { sign, word } = MARKS[endpoint.verdict];
  const findings = (places.speakingOf.get(endpoint.id) ?? [])
    .slice(0, 8)
    .map((each) => `<a href="#f${each.number}">finding ${each.number}</a>`)
    .join(', ');
  const planned = plannedLine(endpoint, places);
  const seen = endpoint.sightings
    .map((sighting) => {
      const lines = evidenceLines(sighting).map((line) => text(line, limit));
      return `<p class="s"><b>from ${text(sighting.vantage, 60)}</b>
${lines.join('\n')}</p>`;
    })
    .join('');
  return `<details data-e="${number}"><summary><b>${sign}</b> ${code(endpoint.id, 120)} ${word}</summary><div id="v${number}"><p class="s">${planned}</p>${items(
    endpoint.reasons.map((reason) => text(reason, limit)),
  )}${differences(endpoint, limit)}${seen}<p><a href="#e${number}">row of ${text(endpoint.id, 120)}</a>${findings === '' ? '' : ` · ${findings}`}</p></div></details>`;
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
