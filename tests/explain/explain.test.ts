import { describe, expect, test } from 'vitest';
import { registerExplain } from '../../src/cli/explain.js';
import { exampleOf } from '../../src/findings/examples/index.js';
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
        .filter((line) =>
          /^(What it looks like|What it means|Why it matters|How it was seen|What to do)$/.test(line),
        ),
    ).toHaveLength(5);
  });

  test('every code has an example in its rule’s own words, on documentation addresses alone', async () => {
    for (const code of ruleCodes()) {
      const example = exampleOf(code);
      expect([code, example?.message]).toEqual([code, expect.stringMatching(/\S{3}.*[.?!]$/)]);
      expect(`${example?.message} ${example?.advice}`).not.toMatch(/undefined|NaN|\[object|\bbox(es)?\b/);
      // What stands on paper and in a terminal has no marks of a document.
      expect([code, `${example?.message}${example?.advice}`.includes('`')]).toEqual([code, false]);
      // A time is told as a watch shows it, with its zone.
      expect(`${example?.message}`).not.toMatch(/\dT\d\d:/);
      for (const [time] of `${example?.message}`.matchAll(/\d{4}-\d\d-\d\d \d\d:\d\d.{0,4}/g))
        expect(time).toMatch(/ UTC$/);
      // A name keeps its small letter.
      expect(`${example?.message}`).not.toMatch(/^(Bench|Loft|Vault|Press)\b/);
      // RFC 5737 §3.
      for (const [address] of `${example?.message}`.matchAll(/\b\d+\.\d+\.\d+\.\d+\b/g))
        expect(address).toMatch(/^(192\.0\.2|198\.51\.100|203\.0\.113)\./);
    }
    const { out } = await explain('duplicate-address');
    expect(out.replace(/\s+/g, ' ')).toContain(exampleOf('duplicate-address')?.message ?? 'absent');
  });

  test('one word for one thing: device, laptop, fix; nothing that tells a reader to guess (DESIGN 2)', () => {
    for (const code of ruleCodes()) {
      const rule = ruleOf(code);
      const example = exampleOf(code);
      const words = [rule?.title, ...Object.values(rule?.explain ?? {}), example?.message, example?.advice];
      expect([code, words.join(' ')]).toEqual([
        code,
        expect.not.stringMatching(
          /\b(box|boxes|mend|mends|machine|rehearsal|promise out)\b|way around|without a word|is none of the plan/i,
        ),
      ]);
    }
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
      'example',
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
