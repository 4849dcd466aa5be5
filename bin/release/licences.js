/** LICENSES.txt: what is inside of what is carried, under which terms, whole. */
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import { PACKAGE, ROOT } from '../bundle.js';
import { NODE_VERSION, nodeLicence } from './platforms.js';

const RULE = '-'.repeat(80);

/**
 * @param {readonly string[]} packages folders below the project's
 * @returns {Promise<string>}
 */
export async function licencesText(packages) {
  const parts = await Promise.all(packages.map(licenceOf));
  const node = {
    name: `Node.js ${NODE_VERSION} (in the folders and in matchmark.exe; its icon, names and signature are taken out of the latter)`,
    terms: 'MIT and others',
    text: await nodeLicence(),
  };
  const all = [...parts, node];
  return [
    `Matchmark ${PACKAGE.version}: ${PACKAGE.license}`,
    '',
    'Inside of it:',
    ...all.map(({ name, terms }) => `  ${name}: ${terms}`),
    ...all.flatMap(({ name, terms, text }) => ['', RULE, `${name}: ${terms}`, RULE, '', text.trim()]),
    '',
  ].join('\n');
}

/** @param {string} folder */
async function licenceOf(folder) {
  const at = path.join(ROOT, folder);
  /** @type {{ name: string, version: string, license?: string, author?: string | { name: string }, homepage?: string }} */
  const { name, version, license, author, homepage } = JSON.parse(
    await readFile(path.join(at, 'package.json'), 'utf8'),
  );
  // A licence that is not known may forbid that we pass it on.
  if (license === undefined) throw new Error(`${name} does not say its licence`);
  const files = (await readdir(at))
    .filter((file) => /^(licen[cs]e|copying|notice|copyright)/i.test(file))
    .sort();
  const texts = await Promise.all(files.map((file) => readFile(path.join(at, file), 'utf8')));
  const by = typeof author === 'string' ? author : author?.name;
  const stated = `The package states ${license} and brings no text.`;
  const whose = [by === undefined ? '' : `Author: ${by}.`, homepage === undefined ? '' : `See ${homepage}`];
  const text =
    texts.length > 0 ? texts.join('\n') : [stated, ...whose].filter((line) => line !== '').join('\n');
  return { name: `${name} ${version}`, terms: license, text };
}
