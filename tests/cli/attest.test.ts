import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { describe, expect, test } from 'vitest';
import { openItems } from '../../src/attest/open-items.js';
import { readMatrix } from '../../src/matrix/read.js';
import { aRunToLookAt } from '../attest/run.js';
import { folderWith, run } from './run.js';

const matrix = aRunToLookAt();
const visit = (): string => {
  const cwd = folderWith({});
  mkdirSync(path.join(cwd, 'run-1'));
  writeFileSync(path.join(cwd, 'run-1/matrix.json'), `${JSON.stringify(matrix)}\n`);
  return cwd;
};
const written = (cwd: string) =>
  readMatrix(readFileSync(path.join(cwd, 'run-1/matrix.json'), 'utf8'), 'after');
/** Larger than any process number (Linux: 2^22 at most, PID_MAX_LIMIT; from memory). */
const DEAD_PID = 99_999_990;
const leftBy = (pid: number): string => `.matchmark-said-${pid}-0123456789abcdef`;
const saidIn = (cwd: string): string[] =>
  readdirSync(path.join(cwd, 'run-1')).filter((name) => name.startsWith('.matchmark-said-'));
const linesOf = (file: string): string[] => readFileSync(file, 'utf8').split('\n').filter(Boolean);
const typed = (...lines: string[]) => Readable.from(lines.map((line) => `${line}\n`));
const one = (subject: string, item: string, saw: string, ...more: string[]): string[] => [
  'attest',
  'run-1',
  '--subject',
  subject,
  '--item',
  item,
  '--saw',
  saw,
  '--by',
  'R. Hale',
  '--quiet',
  ...more,
];

describe('the walk', () => {
  test('asks for the name and each thing that is open, and writes what was said at once', async () => {
    const cwd = visit();
    // In the order of the visit: rails, switch port, power lamp, speed, link light, keys.
    const { out } = await run(['attest', 'run-1'], {
      cwd,
      stdin: typed('', 'R. Hale', '', 'loft-1 11', 'green', 'amber', 'n', 's', 'handed over'),
    });
    expect(out).toContain('6 things to look at, in the order of the visit.');
    expect(out).toContain('[3/6] powered vault-1: power lamp\n  expected: steady green: ');
    expect(out).toContain('5 things recorded, 1 not as planned, 1 left open.');
    const now = written(cwd);
    expect(now.observations.map(({ item, verdict, by }) => [item, verdict, by])).toEqual([
      ['keys', 'matches', 'R. Hale'],
      ['power lamp', 'matches', 'R. Hale'],
      ['rails', 'matches', 'R. Hale'],
    ]);
    const facts = now.endpoints[0]?.facts.filter(({ fact }) => fact === 'speed' || fact === 'switch-port');
    expect(facts).toMatchObject([
      { fact: 'speed', state: 'differs', by: 'attested', measured: 'amber' },
      { fact: 'switch-port', state: 'matches', by: 'attested', measured: 'loft-1 11' },
    ]);
    expect(openItems(now).map(({ item }) => item)).toEqual(['link light']);
  });

  test('writes nothing where nobody said anything, or no name', async () => {
    for (const lines of [['R. Hale', 'q'], ['', '', ''], ['q']]) {
      const cwd = visit();
      const before = readFileSync(path.join(cwd, 'run-1/matrix.json'), 'utf8');
      expect((await run(['attest', 'run-1'], { cwd, stdin: typed(...lines) })).status).toBe(0);
      expect(readFileSync(path.join(cwd, 'run-1/matrix.json'), 'utf8')).toBe(before);
    }
  });

  test('interrupted: what was said is written, 130', async () => {
    const cwd = visit();
    const stop = new AbortController();
    const stdin = new PassThrough();
    const ran = run(['attest', 'run-1', '--by', 'R. Hale'], { cwd, stdin, signal: stop.signal });
    stdin.write('\n');
    await new Promise((resolve) => setTimeout(resolve, 300));
    stop.abort();
    expect((await ran).status).toBe(130);
    expect(written(cwd).observations.find(({ item }) => item === 'rails')?.verdict).toBe('matches');
  });

  test('each answer is on the disk before the next question; what a killed walk left is recorded by the next attest', async () => {
    const cwd = visit();
    const stop = new AbortController();
    const stdin = new PassThrough();
    const ran = run(['attest', 'run-1', '--by', 'R. Hale'], { cwd, stdin, signal: stop.signal });
    const kept = (): string[] => saidIn(cwd).flatMap((name) => linesOf(path.join(cwd, 'run-1', name)));
    stdin.write('\n');
    await expect.poll(kept).toHaveLength(1);
    stdin.write('loft-1 12\nn\n');
    await expect.poll(kept).toHaveLength(2);
    // As it stands there when the laptop dies now.
    const [name = ''] = saidIn(cwd);
    const left = readFileSync(path.join(cwd, 'run-1', name), 'utf8');
    stop.abort();
    expect((await ran).status).toBe(130);
    expect(saidIn(cwd)).toEqual([]);

    const dead = visit();
    writeFileSync(path.join(dead, 'run-1', leftBy(DEAD_PID)), `${left}{"run":"x","answer":{"subj`);
    writeFileSync(path.join(dead, 'run-1', leftBy(DEAD_PID + 1)), left.replaceAll('"run":"x"', '"run":"y"'));
    const { err } = await run(['attest', 'run-1', '--by', 'R. Hale'], { cwd: dead, stdin: typed('q') });
    expect(err).toContain('2 answers of a walk that was cut off: recorded.');
    expect(written(dead).observations.find(({ item }) => item === 'rails')).toMatchObject({
      verdict: 'matches',
      by: 'R. Hale',
    });
    expect(written(dead).endpoints[0]?.facts.find(({ fact }) => fact === 'switch-port')).toMatchObject({
      state: 'differs',
      by: 'attested',
      measured: 'loft-1 12',
    });
    // Of another run: nobody's to record here, and nobody's to lose.
    expect(saidIn(dead)).toEqual([leftBy(DEAD_PID + 1)]);
  });

  test('a walk in which something was taken back keeps the last word', async () => {
    const cwd = visit();
    const said = (saw: string) =>
      JSON.stringify({
        run: 'x',
        answer: { subject: 'vault-1', item: 'power lamp', saw, by: 'R. Hale', at: '2030-01-02T03:04:05Z' },
      });
    writeFileSync(path.join(cwd, 'run-1', leftBy(DEAD_PID)), `${said('amber')}\n${said('steady green')}\n`);
    await run(one('vault-1', 'rails', 'latched'), { cwd });
    const { evidence, observations } = written(cwd);
    expect(evidence[0]?.attestations.map(({ saw }) => saw)).toEqual(['steady green', 'latched']);
    expect(observations.filter(({ verdict }) => verdict === 'matches')).toHaveLength(2);
  });

  test('a script that has no terminal gets the list', async () => {
    const listed = JSON.parse((await run(['attest', 'run-1', '--json'], { cwd: visit() })).out) as {
      open: unknown[];
    };
    expect(listed.open).toHaveLength(6);
    expect(listed.open[1]).toEqual({
      subject: 'vault-1/A/data0',
      item: 'switch port',
      expect: 'loft-1 port 11',
      when: 'cabled',
    });
  });
});

describe('one line', () => {
  test('a fact that could not be measured, which then does not look measured', async () => {
    const cwd = visit();
    await run(one('vault-1/A/data0', 'speed', '10G by its lamp'), { cwd });
    expect(written(cwd).endpoints[0]?.facts.find(({ fact }) => fact === 'speed')).toMatchObject({
      state: 'matches',
      by: 'attested',
      vantage: '',
    });
  });

  test('words that cannot be told are asked for, not guessed', async () => {
    const cwd = visit();
    const asked = await run(one('vault-1', 'power lamp', 'lit'), { cwd });
    expect(asked).toMatchObject({
      status: 2,
      err: expect.stringContaining('--as-planned or --not-as-planned'),
    });
    await run(one('vault-1', 'power lamp', 'lit', '--as-planned'), { cwd });
    expect(written(cwd).observations.find(({ item }) => item === 'power lamp')?.verdict).toBe('matches');
    await run(one('vault-1', 'power lamp', 'lit', '--not-as-planned'), { cwd });
    expect(
      (await run(one('vault-1', 'power lamp', 'x', '--as-planned', '--not-as-planned'), { cwd })).status,
    ).toBe(2);
  });

  test.each([
    [
      'vault-1',
      'power lmap',
      /does not ask for "power lmap" of vault-1\n {2}Did you mean "power lamp"\? .*--extra/,
    ],
    ['vault-1', 'aerial', /Of vault-1 it asks for power lamp and rails\. .*--extra/],
    [
      'vault-1/A/fc0',
      'colour of its label',
      /does not ask for .*\n {2}Of vault-1\/A\/fc0 it asks for link light/,
    ],
    ['vautl-1', 'power lamp', /nothing called "vautl-1"\n {2}Did you mean "vault-1"\?/],
  ])('%s: %s is taken only with --extra, and the nearest is named', async (subject, item, words) => {
    const cwd = visit();
    const { status, err } = await run(one(subject, item, 'bent'), { cwd });
    expect(status).toBe(2);
    expect(err).toMatch(words);
    await run(one(subject, item, 'bent', '--extra'), { cwd });
    expect(written(cwd).observations.at(-1)).toMatchObject({ subject, item, saw: 'bent', extra: true });
    expect(readFileSync(path.join(cwd, 'run-1/matrix.html'), 'utf8')).toContain('bent');
  });
});
