/** Reading the equipment list a command was given; every problem in it is shown, and errors end the command with exit 2. */
import path from 'node:path';
import { unsound } from '../draft/unsound.js';
import { MatchmarkError } from '../errors.js';
import type { Equipment } from '../plan-file/equipment.js';
import { loadEquipment } from '../plan-file/load.js';
import { ROW_LIMIT } from '../plan-file/table.js';
import { describeIssue } from '../plan-file/wording.js';
import { count } from '../text/sentence.js';
import type { CliDeps } from './common.js';

const SHOWN = 50;

export async function readEquipment(file: string, deps: CliDeps, quiet: boolean): Promise<Equipment> {
  if (file.trim() === '')
    throw new MatchmarkError('plan-unreadable', 'the name of the equipment list is empty', {
      next: 'Name an equipment list (YAML or JSON, its first key "equipment: 1").',
    });
  const loaded = await loadEquipment(path.resolve(deps.cwd, file));
  const refused = loaded.ok
    ? unsound(loaded.equipment, ROW_LIMIT)
    : loaded.issues.filter(({ level }) => level === 'error').map(describeIssue);
  if (!loaded.ok || refused.length > 0) throw invalid(refused);
  if (!quiet) {
    const notes = loaded.issues.filter(({ level }) => level === 'note');
    for (const issue of notes.slice(0, SHOWN)) deps.stderr.write(`note: ${describeIssue(issue)}\n`);
  }
  return loaded.equipment;
}

function invalid(problems: readonly string[]): MatchmarkError {
  const more = problems.length > SHOWN ? [`  ... and ${problems.length - SHOWN} more`] : [];
  const message =
    problems.length === 1
      ? (problems[0] ?? '').replace(/\?$/, '')
      : [
          `the equipment list has ${count(problems.length, 'error')}:`,
          ...problems.slice(0, SHOWN).map((problem) => `  ${problem}`),
          ...more,
        ].join('\n');
  return new MatchmarkError('plan-invalid', message, { next: 'Mend the equipment list and run it again.' });
}
