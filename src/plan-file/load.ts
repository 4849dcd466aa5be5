/** The only place that opens plan files. */
import { createHash } from 'node:crypto';
import { open, stat } from 'node:fs/promises';
import path from 'node:path';
import type { PlanIssue } from '../plan/issue.js';
import type { Plan, PlanFileRef, PlannedObservation } from '../plan/model.js';
import { REFUSED, readAddressList, readSheet } from './address-list.js';
import { assemblePlan, type PlanBody } from './assembly/plan.js';
import { contentOf } from './bytes.js';
import { assembleEquipment, type Equipment } from './equipment.js';
import { readEquipmentTable } from './equipment-table.js';
import { Issues } from './issues.js';
import { readObservationTable } from './observation-list.js';
import { readEquipmentText, readPlanText } from './plan-text.js';
import type { LocatedRow } from './row.js';

/** Largest file read, in bytes: some ten times a list of twenty thousand endpoints. */
const FILE_LIMIT = 16_000_000;

export type LoadedPlan =
  | { readonly ok: true; readonly plan: Plan; readonly issues: readonly PlanIssue[] }
  | { readonly ok: false; readonly issues: readonly PlanIssue[] };

export type LoadedEquipment =
  | { readonly ok: true; readonly equipment: Equipment; readonly issues: readonly PlanIssue[] }
  | { readonly ok: false; readonly issues: readonly PlanIssue[] };

/** A plan (YAML, JSON) or an address list alone (CSV, XLSX). Never throws on what a file holds; errors are issues. */
export async function loadPlan(file: string): Promise<LoadedPlan> {
  const issues = new Issues();
  const files: PlanFileRef[] = [];
  const body = await readBody(file, files, issues);
  if (body === undefined || issues.hasErrors) return { ok: false, issues: issues.sorted() };
  return { ok: true, plan: { ...body, files }, issues: issues.sorted() };
}

/** An equipment list: YAML or JSON, or a table of its ports (CSV, XLSX). */
export async function loadEquipment(file: string): Promise<LoadedEquipment> {
  const issues = new Issues();
  const name = path.basename(file);
  const bytes = await readBytes(file, name, [], issues);
  const read = bytes === undefined ? undefined : await readEquipment(bytes, name, issues);
  const equipment =
    read === undefined
      ? undefined
      : assembleEquipment(read.written, read.locate, nameWithoutEnding(name), issues);
  if (equipment === undefined || issues.hasErrors) return { ok: false, issues: issues.sorted() };
  return { ok: true, equipment, issues: issues.sorted() };
}

async function readEquipment(bytes: Uint8Array, name: string, issues: Issues) {
  if (isTable(bytes, name)) {
    const sheet = await readSheet(bytes, name, issues);
    return sheet === undefined ? undefined : readEquipmentTable(sheet.rows, sheet.at, issues);
  }
  const text = textOf(bytes, name, issues);
  return text === undefined ? undefined : readEquipmentText(text, name, issues);
}

export type LoadedObservations =
  | {
      readonly ok: true;
      readonly observe: readonly PlannedObservation[];
      readonly issues: readonly PlanIssue[];
    }
  | { readonly ok: false; readonly issues: readonly PlanIssue[] };

/** A table of what is to be looked at (CSV, XLSX). */
export async function loadObservations(file: string): Promise<LoadedObservations> {
  const issues = new Issues();
  const name = path.basename(file);
  const bytes = await readBytes(file, name, [], issues);
  const sheet = bytes === undefined ? undefined : await readSheet(bytes, name, issues);
  const observe = sheet === undefined ? undefined : readObservationTable(sheet.rows, name, issues);
  if (observe === undefined || issues.hasErrors) return { ok: false, issues: issues.sorted() };
  return { ok: true, observe, issues: issues.sorted() };
}

async function readBody(file: string, files: PlanFileRef[], issues: Issues): Promise<PlanBody | undefined> {
  const name = path.basename(file);
  const bytes = await readBytes(file, name, files, issues);
  if (bytes === undefined) return undefined;
  const fallbackName = nameWithoutEnding(name);
  const directory = path.dirname(file);
  if (isTable(bytes, name)) {
    const rows = await readAddressList(bytes, name, issues);
    return rows.length === 0
      ? undefined
      : assemblePlan(
          {
            written: {},
            rows,
            rowsComplete: !issues.hasErrors,
            locate: () => ({ file: name }),
            directory,
            fallbackName,
          },
          issues,
        );
  }
  const text = textOf(bytes, name, issues);
  const read = text === undefined ? undefined : readPlanText(text, name, issues);
  if (read === undefined) return undefined;
  const { written, endpoints, locate } = read;
  const rows =
    'rows' in endpoints ? endpoints.rows : await readList(endpoints.list, directory, locate, files, issues);
  if (written === undefined || rows.length === 0) return undefined;
  const rowsComplete = !issues.hasErrors;
  return assemblePlan({ written, rows, rowsComplete, locate, directory, fallbackName }, issues);
}

async function readList(
  list: string,
  directory: string,
  locate: (path: readonly PropertyKey[]) => PlanIssue['at'],
  files: PlanFileRef[],
  issues: Issues,
): Promise<LocatedRow[]> {
  const bytes = await readBytes(path.resolve(directory, list), list, files, issues, locate(['endpoints']));
  return bytes === undefined ? [] : readAddressList(bytes, list, issues);
}

/** The ending decides where it is known, else what the file holds. */
function isTable(bytes: Uint8Array, name: string): boolean {
  const ending = path.extname(name).toLowerCase();
  if (['.csv', '.tsv', '.xlsx', '.xls', '.xlsm', '.txt'].includes(ending)) return true;
  const content = contentOf(bytes);
  if (content.kind !== 'text') return true;
  if (['.yaml', '.yml', '.json'].includes(ending)) return false;
  return !/^\s*(?:[{[]|#|---|(?:["']?\w+["']?)\s*:)/.test(content.text);
}

function textOf(bytes: Uint8Array, name: string, issues: Issues): string | undefined {
  const content = contentOf(bytes);
  if (content.kind === 'text') {
    if (content.encoding === 'windows-1252') issues.note('read-as-windows-1252', { file: name });
    return content.text;
  }
  issues.error(content.kind === 'workbook' ? 'binary-file' : REFUSED[content.kind], { file: name });
  return undefined;
}

async function readBytes(
  file: string,
  name: string,
  files: PlanFileRef[],
  issues: Issues,
  at: PlanIssue['at'] = { file: name },
): Promise<Uint8Array | undefined> {
  try {
    const facts = await stat(file);
    if (facts.isDirectory()) issues.error('is-directory', { file: name });
    else if (!facts.isFile()) issues.error('not-a-file', { file: name });
    else if (facts.size > FILE_LIMIT) tooLarge(facts.size, name, issues);
    else {
      const bytes = await readUpTo(file, FILE_LIMIT + 1);
      // A file may grow between the look and the reading.
      if (bytes.length <= FILE_LIMIT) {
        files.push({ name, sha256: createHash('sha256').update(bytes).digest('hex') });
        return bytes;
      }
      tooLarge(bytes.length, name, issues);
    }
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : '';
    const found = at.file === name ? undefined : name;
    if (code === 'ENOENT' || code === 'ENOTDIR') issues.error('file-missing', at, { found });
    else
      issues.error('file-unreadable', at, {
        found,
        expected: REASONS[code] ?? (code || 'the system refuses'),
      });
  }
  return undefined;
}

const REASONS: Readonly<Record<string, string>> = {
  EACCES: 'permission denied',
  EPERM: 'permission denied',
  EMFILE: 'too many files are open',
  ENAMETOOLONG: 'the name is too long',
  EBUSY: 'another program holds it open',
  ERR_INVALID_ARG_VALUE: 'the name is not a file name',
};

async function readUpTo(file: string, limit: number): Promise<Uint8Array> {
  const handle = await open(file, 'r');
  try {
    const chunks: Uint8Array[] = [];
    let length = 0;
    while (length < limit) {
      const { bytesRead, buffer } = await handle.read(new Uint8Array(Math.min(1 << 20, limit - length)));
      if (bytesRead === 0) break;
      chunks.push(buffer.subarray(0, bytesRead));
      length += bytesRead;
    }
    return Buffer.concat(chunks);
  } finally {
    await handle.close();
  }
}

function tooLarge(bytes: number, name: string, issues: Issues): void {
  const megabytes = (count: number) => `${Math.ceil(count / 1e6)} MB`;
  issues.error(
    'file-too-large',
    { file: name },
    { found: megabytes(bytes), expected: `at most ${megabytes(FILE_LIMIT)}` },
  );
}

function nameWithoutEnding(name: string): string {
  return path.basename(name, path.extname(name));
}
