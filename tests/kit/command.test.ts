import { expect, it } from 'vitest';
import { kitCommand } from '../../src/cli/kit.js';
import { runCommand } from '../support/cli.js';
import { aVantage } from '../support/evidence.js';

const here = (argv: readonly string[]) =>
  runCommand((program, deps, setStatus) => {
    kitCommand(async (name) => {
      const vantage = aVantage({ name });
      return { ...vantage, abilities: { ...vantage.abilities, privileged: false } };
    })(program, deps, setStatus);
  }, argv);

it('prints what there is and what each gap costs, and ends with 0: a gap is no finding', async () => {
  const { status, out, err } = await here(['kit', '--vantage', 'bench']);
  expect(status).toBe(0);
  expect(out).toMatch(/^Vantage bench /);
  expect(out).toMatch(/1 gap, and what each costs/);
  expect(err).toBe('');
});

it('puts the same alone on standard output as JSON', async () => {
  const { out } = await here(['kit', '--json']);
  expect(JSON.parse(out)).toMatchObject({
    format: 'matchmark.kit/1',
    vantage: { abilities: { privileged: false } },
    gaps: [{ what: 'no administrator rights' }],
  });
});
