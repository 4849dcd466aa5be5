import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { readMatrix } from '../../src/matrix/read.js';
import { sampleMatrix } from '../support/sample-matrix.js';
import { folderWith, namesIn, run } from './run.js';

const HEAD = 'plan: 1\nnetworks: [{ name: mgmt, cidr: 192.0.2.0/24 }]\nendpoints:\n';
const endpoint = (port: string, address: string) =>
  `  - { device: vault-1, controller: A, port: ${port}, address: ${address}, network: mgmt, services: https }\n`;
/** The network of a rehearsal is a note (RFC 6890), which ends with 0. */
const SOUND = `${HEAD}${endpoint('mgmt', '192.0.2.11')}`;
const TWICE = `${SOUND}${endpoint('spare', '192.0.2.11')}`;

describe('review', () => {
  test('a sound plan: 0, notes alone', async () => {
    const cwd = folderWith({ 'plan.yaml': SOUND });
    const { status, out, err } = await run(['review', 'plan.yaml'], { cwd });
    expect({ status, err }).toEqual({ status: 0, err: '' });
    expect(out).toContain('Nothing in the plan is known to be wrong');
    expect(out).not.toMatch(/STOP|FIX/);
    expect((await run(['review', 'plan.yaml', '--quiet'], { cwd })).out).toBe('');
    expect(namesIn(cwd)).toEqual(['plan.yaml']);
  });

  test('one address twice: 1, with the finding and what to do; quiet leaves the finding alone', async () => {
    const cwd = folderWith({ 'plan.yaml': TWICE });
    const { status, out } = await run(['review', 'plan.yaml'], { cwd });
    expect(status).toBe(1);
    expect(out).toMatch(/^(STOP|FIX) {3,4}1\. [\s\S]*\(address-duplicate\)\n[\s\S]*\n {10}Do: /m);
    const quiet = await run(['review', 'plan.yaml', '--quiet'], { cwd });
    expect(quiet.status).toBe(1);
    expect(quiet.out).toContain('(address-duplicate)');
    expect(quiet.out).not.toMatch(/NOTE|Addresses left/);
  });

  test('--json alone on standard output, and the same bytes in the folder', async () => {
    const cwd = folderWith({ 'plan.yaml': TWICE });
    const { status, out } = await run(['review', 'plan.yaml', '--json', '--out', 'before/visit'], { cwd });
    expect(status).toBe(1);
    const result: unknown = JSON.parse(out);
    expect(result).toMatchObject({ format: 'matchmark.review/1', plan: { site: 'plan' } });
    expect(readFileSync(path.join(cwd, 'before/visit/review.json'), 'utf8')).toBe(out);
  });

  test('notes on how the plan was read go to standard error', async () => {
    const cwd = folderWith({ 'list.csv': 'device,port,address,colour\nvault-1,mgmt,192.0.2.11/24,red\n' });
    const { out, err } = await run(['review', 'list.csv', '--json'], { cwd });
    expect(err).toMatch(/^note: list\.csv.*unknown column "colour"/);
    expect(() => JSON.parse(out)).not.toThrow();
    expect((await run(['review', 'list.csv', '--quiet'], { cwd })).err).toBe('');
  });

  test('a console without Unicode gets ASCII, no colour codes on a pipe, and colour on a terminal', async () => {
    const cwd = folderWith({ 'plan.yaml': TWICE });
    const plain = await run(['review', 'plan.yaml'], { cwd, env: { LANG: 'C' } });
    expect(plain.out).toMatch(/^[\n\x20-\x7e]*$/);
    const coloured = await run(['review', 'plan.yaml'], {
      cwd,
      env: { LANG: 'C', TERM: 'xterm' },
      columns: 80,
    });
    expect(coloured.out).toContain('\u001b[');
    const refused = await run(['review', 'plan.yaml'], { cwd, env: { NO_COLOR: '1' }, columns: 80 });
    expect(refused.out).not.toContain('\u001b[');
  });

  test('a plan may be named by its full path', async () => {
    const cwd = folderWith({ 'plan.yaml': SOUND });
    expect((await run(['review', path.join(cwd, 'plan.yaml')], { cwd: '/' })).status).toBe(0);
  });
});

describe('attest', () => {
  const matrix = sampleMatrix();
  const open = matrix.observations.filter(({ verdict }) => verdict === 'open');
  const [first] = open;
  if (first === undefined) throw new Error('the sample has nothing left to look at');
  const visit = (): string => {
    const cwd = folderWith({});
    mkdirSync(path.join(cwd, 'run-1'));
    writeFileSync(path.join(cwd, 'run-1/matrix.json'), `${JSON.stringify(matrix)}\n`);
    return cwd;
  };
  const said = ['--subject', first.subject, '--item', first.item, '--saw', first.expect, '--by', 'R. Hale'];

  test('says what is still to be looked at, each with what is expected', async () => {
    const cwd = visit();
    const { status, out } = await run(['attest', 'run-1'], { cwd });
    expect(status).toBe(0);
    for (const { subject, item, expect: expected } of open)
      expect(out).toContain(`${subject}: ${item}, expected ${expected}`);
    const listed: unknown = JSON.parse((await run(['attest', 'run-1', '--json'], { cwd })).out);
    expect(listed).toMatchObject({
      open: expect.arrayContaining(
        open.map(({ subject, item }) => expect.objectContaining({ subject, item })),
      ),
    });
    expect(namesIn(cwd)).toEqual(['run-1', 'run-1/matrix.json']);
  });

  test('lists the light of a port without an address too, which no `observe` of the plan names', async () => {
    const cwd = visit();
    const port = matrix.endpoints.find(({ address, role }) => address === '' && role !== 'power');
    const [some] = matrix.findings;
    if (port === undefined || some === undefined)
      throw new Error('the sample has no port without an address');
    const finding = { ...some, code: 'observation-open', severity: 'note', subject: port.id };
    const dark = { ...matrix, findings: [...matrix.findings, finding] };
    writeFileSync(path.join(cwd, 'run-1/matrix.json'), JSON.stringify(dark));
    expect((await run(['attest', 'run-1'], { cwd })).out).toContain(`\n  ${port.id}: link light\n`);
  });

  test('records it with the name and the time, judges again, and writes page and result', async () => {
    const cwd = visit();
    const { err } = await run(['attest', 'run-1', ...said], { cwd });
    expect(err).toContain(path.join('run-1', 'matrix.html'));
    const after = readMatrix(readFileSync(path.join(cwd, 'run-1/matrix.json'), 'utf8'), 'after');
    const now = after.observations.find(
      ({ subject, item }) => subject === first.subject && item === first.item,
    );
    expect(now).toMatchObject({
      verdict: 'matches',
      saw: first.expect,
      by: 'R. Hale',
      at: '2030-01-02T03:04:05.000Z',
    });
    expect(readFileSync(path.join(cwd, 'run-1/matrix.html'), 'utf8')).toContain('R. Hale');
  });

  test('--out leaves the run as it was', async () => {
    const cwd = visit();
    const before = readFileSync(path.join(cwd, 'run-1/matrix.json'), 'utf8');
    await run(['attest', 'run-1', ...said, '--out', 'signed', '--quiet'], { cwd });
    expect(readFileSync(path.join(cwd, 'run-1/matrix.json'), 'utf8')).toBe(before);
    expect(namesIn(path.join(cwd, 'signed'))).toEqual(['matrix.html', 'matrix.json']);
  });

  test.each<[string, readonly string[], RegExp]>([
    [
      'a subject that the plan lacks',
      said.with(1, `${first.subject}x`),
      /nothing called .*\n {2}Did you mean/,
    ],
    ['nobody named', said.slice(0, -2), /needs --by\n {2}Say what/],
    ['an empty name', said.with(-1, ' '), /needs --by\n/],
    ['a name alone', ['--by', 'R. Hale'], /needs --subject, --item and --saw\n/],
  ])('%s: 2, and the run stays as it was', async (_what, argv, words) => {
    const cwd = visit();
    const { status, out, err } = await run(['attest', 'run-1', ...argv], { cwd });
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(words);
    expect(namesIn(cwd)).toEqual(['run-1', 'run-1/matrix.json']);
  });
});
