/** The command that checks just what a job is about again, in words that can be pasted. */
import type { Finding } from '../findings/index.js';
import { ruleOf } from '../findings/rule-of.js';
import type { Matrix } from '../matrix/matrix.js';
import { commandWord } from '../text/command-word.js';

/** A longer command would be no quicker than the whole check. */
const DEVICES_NAMED = 4;

export function checkAgain(matrix: Matrix, finding: Finding, about: readonly string[]): string {
  const plan = commandWord(matrix.plan.files[0]?.name ?? 'PLAN', 'PLAN');
  if (ruleOf(finding.code)?.family === 'plan') return `matchmark review ${plan}`;
  const devices = devicesOf(matrix, finding, about);
  const stage = matrix.run.stage === 'power-on' ? ' --stage power-on' : '';
  const only =
    devices.length > DEVICES_NAMED
      ? ''
      : devices.map((name) => ` --only ${commandWord(name, 'DEVICE')}`).join('');
  return `matchmark check ${plan}${stage}${only}`;
}

function devicesOf(matrix: Matrix, { subject }: Finding, about: readonly string[]): readonly string[] {
  const known = new Set(matrix.plan.model.devices.map(({ name }) => name));
  const group = matrix.groups.find(({ name }) => name === subject);
  const endpoints = new Set([subject, ...about, ...(group?.paths.flatMap((path) => path.endpoints) ?? [])]);
  const named = matrix.endpoints.filter(({ id }) => endpoints.has(id)).map(({ device }) => device);
  return [...new Set([...(known.has(subject) ? [subject] : []), ...named])];
}
