import type { Matrix } from '../matrix/matrix.js';
import { count } from '../text/sentence.js';
import { code, items, table, text } from './markup.js';

/** Plan files with their digests, and what in the plan nobody wrote. */
export function planSection(matrix: Matrix): string {
  const { model, files } = matrix.plan;
  const fileTable = table(
    'Files that the plan was read from',
    ['File', 'SHA-256'],
    files.map(({ name, sha256 }) => [text(name, 120), code(digestGroups(sha256), 120)]),
  );
  const inferred = [
    { what: 'network', names: model.networks.filter((each) => each.inferred).map(({ name }) => name) },
    { what: 'device', names: model.devices.filter((each) => each.inferred).map(({ name }) => name) },
    { what: 'redundancy group', names: model.groups.filter((each) => each.inferred).map(({ name }) => name) },
  ].filter(({ names }) => names.length > 0);
  return `${fileTable}
${items(inferred.map(({ what, names }) => `${count(names.length, what)} taken from the address list, not written as such: ${text(names.slice(0, 20).join(', '), 600)}${names.length > 20 ? ', …' : ''}`))}`;
}

const SIGNERS = ['Installed and measured by', 'Checked by', 'Received for the customer by'];

/** The digest is that of matrix.json; who signs the paper signs that result. */
export function signOffSection(matrix: Matrix, digest: string | undefined): string {
  const open = matrix.summary.stop + matrix.summary.fix;
  const rows = SIGNERS.map((role) => [
    text(role),
    '<span class="blank"></span>',
    '<span class="blank"></span>',
    '<span class="blank"></span>',
  ]);
  const agreed =
    open === 0
      ? ''
      : `<p>When this was written, ${count(open, 'item')} above ${open === 1 ? 'was' : 'were'} still open. Whoever signs with items open signs that they know of them.</p>`;
  return `${agreed}${table('Sign-off', ['Role', 'Name', 'Signature', 'Date'], rows, 'signing')}
<p class="digest">${
    digest === undefined
      ? 'This page was rendered without the digest of its result.'
      : `This page shows the result whose <b>SHA-256</b> is<br>${code(digestGroups(digest), 120)}<br>It is the digest of <code>matrix.json</code>, kept beside this page: anyone can compute it again and see that the result is unchanged.`
  }</p>`;
}

/** Groups of eight, so that two people can read it to each other. */
export function digestGroups(digest: string): string {
  return digest.replace(/(.{8})(?=.)/g, '$1 ');
}
