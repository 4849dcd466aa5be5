import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { onTestFinished } from 'vitest';
import type { PlanIssue } from '../../src/plan/issue.js';
import type { Plan } from '../../src/plan/model.js';
import { readAddressListText } from '../../src/plan-file/address-list.js';
import { Issues } from '../../src/plan-file/issues.js';
import { loadPlan } from '../../src/plan-file/load.js';
import { describeIssue } from '../../src/plan-file/wording.js';

export const PLANS = new URL('../../fixtures/plans/', import.meta.url).pathname;

/** A folder with these files, gone after the test. */
export function folder(files: Readonly<Record<string, string | Uint8Array>>): string {
  const directory = mkdtempSync(path.join(tmpdir(), 'matchmark-plan-'));
  onTestFinished(() => rmSync(directory, { recursive: true, force: true }));
  for (const [name, content] of Object.entries(files)) writeFileSync(path.join(directory, name), content);
  return directory;
}

export async function load(files: Readonly<Record<string, string | Uint8Array>>, name: string) {
  return loadPlan(path.join(folder(files), name));
}

export async function loadGood(
  files: Readonly<Record<string, string | Uint8Array>>,
  name: string,
): Promise<Plan> {
  const loaded = await load(files, name);
  if (!loaded.ok) throw new Error(lines(loaded.issues).join('\n'));
  return loaded.plan;
}

export function lines(issues: readonly PlanIssue[]): string[] {
  return issues.map(describeIssue);
}

export function errorsOf(issues: readonly PlanIssue[]): PlanIssue[] {
  return issues.filter((issue) => issue.level === 'error');
}

export function readList(text: string) {
  const issues = new Issues();
  const rows = readAddressListText(text, 'list.csv', issues);
  return { rows, issues: issues.all };
}
