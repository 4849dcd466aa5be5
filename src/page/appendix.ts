/** Evidence, method and plan: folded, and on paper only when opened. One fold, so that one control opens all of it, with or without scripts. */
import type { Matrix } from '../matrix/matrix.js';
import { count } from '../text/sentence.js';
import { evidenceSection } from './evidence.js';
import { code, items, table, text } from './markup.js';
import { methodSection } from './method.js';
import { capacitySection } from './observations.js';
import type { Places } from './places.js';
import { pathTables } from './pull-tests.js';
import { racksSection } from './racks.js';

export function appendix(matrix: Matrix, places: Places, digest: string | undefined): string {
  const parts = [
    { title: 'Racks', body: racksSection(matrix) },
    { title: 'Paths in words', body: pathTables(matrix, places) },
    { title: 'How it was measured', body: methodSection(matrix, places) },
    { title: 'Plan', body: planPart(matrix) + capacitySection(matrix) },
    { title: 'Run and result', body: runPart(matrix, digest) },
    {
      title: 'Evidence of each endpoint',
      body: `<div id="evidence">${evidenceSection(matrix, places)}</div>`,
    },
  ];
  const body = parts
    .filter((part) => part.body !== '')
    .map((part) => `<section><h3>${part.title}</h3>\n${part.body}</section>`)
    .join('\n');
  return `<details id="appendix"><summary><h2>Appendix: evidence, method and plan</h2><span class="aside">Open it to read it, or to have it printed too.</span></summary>
${body}</details>`;
}

/** Plan files with their digests, and what in the plan was taken from the address list. */
function planPart({ plan: { model, files } }: Matrix): string {
  const fileTable = table(
    'Files that the plan was read from',
    ['File', 'SHA-256'],
    files.map(({ name, sha256 }) => [text(name, 120), code(digestGroups(sha256), 120)]),
    '',
    true,
  );
  const inferred = [
    { what: 'network', names: model.networks.filter((each) => each.inferred).map(({ name }) => name) },
    { what: 'device', names: model.devices.filter((each) => each.inferred).map(({ name }) => name) },
    { what: 'redundancy group', names: model.groups.filter((each) => each.inferred).map(({ name }) => name) },
  ].filter(({ names }) => names.length > 0);
  return `${fileTable}
${items(inferred.map(({ what, names }) => `${count(names.length, what)} taken from the address list, not written as such: ${text(names.slice(0, 20).join(', '), 600)}${names.length > 20 ? ', …' : ''}`))}`;
}

function runPart({ run }: Matrix, digest: string | undefined): string {
  const whole =
    digest === undefined
      ? '<p>This page was made without the digest of its result.</p>'
      : `<p class="digest">This page shows the result whose <b>SHA-256</b> is<br>${code(digestGroups(digest), 120)}<br>It is the digest of <code>matrix.json</code>, kept beside this page: anyone can compute it again and see that the result is unchanged.</p>`;
  return `<p>Run ${code(run.id, 60)}, by Matchmark ${text(run.version, 40)}.</p>
${whole}`;
}

/** Groups of eight, so that two people can read it to each other. */
function digestGroups(digest: string): string {
  return digest.replace(/(.{8})(?=.)/g, '$1 ');
}
