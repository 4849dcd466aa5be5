import { describe, expect, test } from 'vitest';
import { registerExplain } from '../../src/cli/explain.js';
import { ruleCodes, ruleOf } from '../../src/findings/rule-of.js';
import { runCommand } from '../support/cli.js';

const explain = (...argv: string[]) => runCommand(registerExplain, ['explain', ...argv]);

describe('matchmark explain', () => {
  test('a code: meaning, reason, way of seeing, what to do', async () => {
    const { status, out, err } = await explain('duplicate-address');
    expect(status).toBe(0);
    expect(err).toBe('');
    expect(out).toMatch(/^Two devices on one address \(duplicate-address\)\nstop: do not go on/);
    expect(
      out
        .split('\n')
        .filter((line) => /^(What it means|Why it matters|How it was seen|What to do)$/.test(line)),
    ).toHaveLength(4);
  });

  test('without a code: every code once, by family', async () => {
    const { status, out } = await explain();
    expect(status).toBe(0);
    for (const code of ruleCodes()) expect(out.match(new RegExp(`^  ${code} `, 'gm')) ?? []).toHaveLength(1);
    expect(out.indexOf('Known from the plan')).toBeLessThan(out.indexOf('Seen on the network'));
  });

  test('as JSON, one and all', async () => {
    const one = JSON.parse((await explain('single-point', '--json')).out) as Record<string, string>;
    expect(Object.keys(one)).toEqual([
      'code',
      'severity',
      'family',
      'title',
      'means',
      'matters',
      'seen',
      'todo',
    ]);
    expect(one.means).toBe(ruleOf('single-point')?.explain.means);
    const all = JSON.parse((await explain('--json')).out) as { code: string }[];
    expect(all.map(({ code }) => code)).toEqual(ruleCodes());
  });

  test.each([
    ['duplicate-adress', 'duplicate-address'],
    ['service-mising', 'service-missing'],
    ['SINGLE-POINTS', 'single-point'],
  ])('%s is a mistake of typing: it asks whether %s was meant and ends with 2', async (typed, meant) => {
    const { status, out, err } = await explain(typed);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(`Did you mean ${meant}`);
  });

  test('a code that resembles none points to the list', async () => {
    const { status, err } = await explain('\u001b[31mzebra');
    expect(status).toBe(2);
    expect(err).toContain('Run matchmark explain without a code');
    expect(err).not.toContain('\u001b');
  });
});
