import type { Matrix } from '../matrix/matrix.js';
import { appendix } from './appendix.js';
import { opticsCaution, probeCaution, pullCaution } from './cautions.js';
import { documentMarkup, type Section } from './document.js';
import { equipmentSection } from './equipment.js';
import { groupsSection } from './groups.js';
import { jobsSection, notesTable } from './jobs.js';
import { matrixSection } from './matrix-table.js';
import { besidePlanSection, observationsSection } from './observations.js';
import { type Places, placesOf } from './places.js';
import { pullTests } from './pull-tests.js';
import { SCRIPT } from './script.js';
import { firstSheet } from './sheet.js';
import { BASE } from './style/base.js';
import { DRAWINGS } from './style/drawings.js';
import { printStyle } from './style/print.js';
import { SHEET_ONE } from './style/sheet.js';
import { SKIP_UNSEEN, TABLES } from './style/tables.js';
import { WORKSHEET } from './style/worksheet.js';
import { againSection, wordsSection } from './words.js';

export interface PageOptions {
  /** Lower-case hex SHA-256 over the bytes of matrix.json. */
  readonly digest?: string;
}

/** Endpoints and groups past which the browser should lay out only what is in sight. */
const LARGE = 250;

/** The handover page: one HTML document that needs nothing beside itself. Pure; the caller writes it. */
export function renderPage(matrix: Matrix, options: PageOptions = {}): string {
  return [...pageParts(matrix, options)].join('');
}

/** The same in parts, empty ones between: whoever writes it can listen to Ctrl-C meanwhile, since the page of thousands takes a second or two. */
export function* pageParts(matrix: Matrix, options: PageOptions = {}): Generator<string> {
  const { digest } = options;
  const { plan, run } = matrix;
  const places = placesOf(matrix);
  yield '';
  const sections: Section[] = [];
  for (const section of sectionsOf(matrix, places)) {
    sections.push(section);
    yield '';
  }
  const first = firstSheet(matrix, places, digest);
  yield '';
  const after = appendix(matrix, places, digest);
  yield '';
  const name = `${plan.site}${plan.reference === undefined ? '' : `, ${plan.reference}`}`;
  const footer = [
    name.slice(0, 80),
    run.finishedAt.slice(0, 10),
    digest === undefined ? '' : `result ${digest.slice(0, 16)}`,
  ].filter((part) => part !== '');
  const skip = matrix.endpoints.length + matrix.groups.length > LARGE ? SKIP_UNSEEN : '';
  yield documentMarkup({
    title: `${name}: handover`,
    style: [BASE, SHEET_ONE, WORKSHEET, TABLES, DRAWINGS, skip, printStyle(footer.join(' | '))].join(''),
    script: SCRIPT,
    first,
    sections,
    after,
    afterLinks: [{ id: 'appendix', title: 'Appendix' }],
    version: run.version,
  });
}

function* sectionsOf(matrix: Matrix, places: Places): Generator<Section> {
  yield { id: 'matrix', title: 'Matrix', body: matrixSection(matrix, places) };
  yield { id: 'jobs', title: 'Jobs', body: jobsSection(matrix, places) };
  yield { id: 'notes', title: 'Notes', body: notesTable(places) };
  yield {
    id: 'groups',
    title: 'Redundancy',
    body:
      (matrix.groups.length > 0 ? pullCaution() : '') +
      groupsSection(matrix, places) +
      pullTests(matrix, places),
  };
  yield { id: 'equipment', title: 'Equipment', body: equipmentSection(matrix) };
  yield {
    id: 'observations',
    title: 'What was looked at by eye',
    body: opticsCaution(matrix) + observationsSection(matrix, places),
  };
  yield { id: 'beside', title: 'Default addresses and strangers', body: besidePlanSection(matrix) };
  yield { id: 'words', title: 'Words on this page', body: wordsSection() };
  yield { id: 'again', title: 'In a year', body: againSection(matrix, places) + probeCaution() };
}
