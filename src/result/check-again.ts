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
  const places = placesOf(matrix);
  const ends = places.groups.get(subject)?.paths.flatMap((path) => path.endpoints) ?? [];
  const named = [...new Set([subject, ...about, ...ends])]
    .flatMap((id) => places.endpoints.get(id) ?? [])
    .sort((one, other) => one.place - other.place)
    .map(({ device }) => device);
  return [...new Set([...(places.devices.has(subject) ? [subject] : []), ...named])];
}

interface Places {
  readonly devices: ReadonlySet<string>;
  readonly groups: ReadonlyMap<string, Matrix['groups'][number]>;
  /** By id; `place` is that in the matrix. */
  readonly endpoints: ReadonlyMap<string, { readonly device: string; readonly place: number }>;
}

const made = new WeakMap<Matrix, Places>();

/** Made once a result: a hall has thousands of findings. */
function placesOf(matrix: Matrix): Places {
  const known = made.get(matrix);
  if (known !== undefined) return known;
  const places = {
    devices: new Set(matrix.plan.model.devices.map(({ name }) => name)),
    groups: new Map(matrix.groups.map((group) => [group.name, group])),
    endpoints: new Map(matrix.endpoints.map(({ id, device }, place) => [id, { device, place }])),
  };
  made.set(matrix, places);
  return places;
}
