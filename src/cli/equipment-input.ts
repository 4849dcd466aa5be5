/** Reading the equipment list a command was given; every problem in it is shown, and errors end the command with exit 2. */
import path from 'node:path';
import { unsound } from '../draft/unsound.js';
import { MatchmarkError } from '../errors.js';
import type { PlanIssue } from '../plan/issue.js';
import type { PlannedObservation } from '../plan/model.js';
import type { Equipment } from '../plan-file/equipment.js';
import { loadEquipment, loadObservations } from '../plan-file/load.js';
import { ROW_LIMIT } from '../plan-file/table.js';
import { describeIssue } from '../plan-file/wording.js';
import { count } from '../text/sentence.js';
import type { CliDeps } from './common.js';
import { endable } from './endable.js';

const SHOWN = 50;

export async function readEquipment(file: string, deps: CliDeps, quiet: boolean): Promise<Equipment> {
  if (file.trim() === '')
    throw new MatchmarkError('plan-unreadable', 'the name of the equipment list is empty', {
      next: 'Name an equipment list (YAML or JSON, its first key "equipment: 1"; or a table of its ports, CSV or XLSX).',
    });
  const reading = () => loadEquipment(path.resolve(deps.cwd, file));
  const loaded = await endable(deps, reading);
  const refused = loaded.ok ? unsound(loaded.equipment, ROW_LIMIT) : errorsIn(loaded.issues);
  if (!loaded.ok || refused.length > 0) throw invalid('equipment list', refused);
  if (!quiet) writeNotes(loaded.issues, deps);
  return loaded.equipment;
}

/** The customer's own list of what is to be looked at. */
export async function readEyes(
  file: string,
  deps: CliDeps,
  quiet: boolean,
): Promise<readonly PlannedObservation[]> {
  const loaded = await loadObservations(path.resolve(deps.cwd, file));
  if (!loaded.ok) throw invalid('list of what to look at', errorsIn(loaded.issues));
  if (!quiet) writeNotes(loaded.issues, deps);
  return loaded.observe;
}

function errorsIn(issues: readonly PlanIssue[]): string[] {
  return issues.filter(({ level }) => level === 'error').map(describeIssue);
}

function writeNotes(issues: readonly PlanIssue[], deps: CliDeps): void {
  const notes = issues.filter(({ level }) => level === 'note');
  for (const issue of notes.slice(0, SHOWN)) deps.stderr.write(`note: ${describeIssue(issue)}\n`);
}

function invalid(what: string, problems: readonly string[]): MatchmarkError {
  const more = problems.length > SHOWN ? [`  ... and ${problems.length - SHOWN} more`] : [];
  const message =
    problems.length === 1
      ? (problems[0] ?? '')
      : [
          `the ${what} has ${count(problems.length, 'error')}:`,
          ...problems.slice(0, SHOWN).map((problem) => `  ${problem}`),
          ...more,
        ].join('\n');
  return new MatchmarkError('plan-invalid', message, { next: `Correct the ${what} and run it again.` });
}
