/**
 * The real Windows program under Wine: every command that needs no wire, paths as Windows has them, files that others hold. Its network is
 * this laptop's loopback.
 */
import { copyFileSync, cpSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import net, { type AddressInfo } from 'node:net';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { NODE, nodeFor } from '../../bin/release/platforms.js';
import { VERSION } from '../../src/cli/version.js';
import { whatToClose } from '../../src/files/retrying.js';
import { readMatrix } from '../../src/matrix/read.js';
import { reviewHeadline } from '../../src/review/headline.js';
import { blocksOf } from './support/readme.js';
import { oneLine, type Ran, run } from './support/run.js';
import { type Windows, windowsOf, wineMissing } from './support/wine.js';

if (wineMissing !== undefined) process.stderr.write(`\nSKIPPED: ${wineMissing}\n\n`);

const release = inject('release');
const PROGRAM = 'C:\\carry\\matchmark.exe';
/** Blanks and letters beyond ASCII, as in a folder that somebody made for a visit. */
const VISIT = 'Übergabe Halle 3 – Größe';

describe.skipIf(wineMissing !== undefined)(`the Windows program${wineMissing ?? ''}`, () => {
  let windows: Windows;
  let visit: string;
  /** A management port that takes connections, for as long as the tests run. */
  const device = net.createServer((socket) => socket.on('error', () => {}).end());

  const matchmark = (...args: string[]): Ran => windows.run(PROGRAM, args, visit);
  const fileOf = (...parts: string[]): string => readFileSync(path.join(visit, ...parts), 'utf8');
  const matrixOf = (folder: string) => readMatrix(fileOf(folder, 'matrix.json'), 'matrix.json');

  beforeAll(async () => {
    await new Promise<void>((resolve) => device.listen(0, '127.0.0.1', resolve));
    windows = windowsOf(inject('windowsHome'));
    // Nothing lies beside it.
    mkdirSync(path.join(windows.driveC, 'carry'));
    copyFileSync(path.join(release, 'matchmark.exe'), path.join(windows.driveC, 'carry/matchmark.exe'));
    visit = path.join(windows.driveC, VISIT);
    mkdirSync(visit);
    cpSync(path.join(release, 'fixtures/plans/one-array'), path.join(visit, 'site'), { recursive: true });
    copyFileSync(path.join(release, 'fixtures/equipment.yaml'), path.join(visit, 'equipment.yaml'));
    const { port } = device.address() as AddressInfo;
    writeFileSync(
      path.join(visit, 'bench.yaml'),
      `plan: 1
site: { name: Bench }
networks: [{ name: bench, cidr: 127.0.0.0/8 }]
endpoints:
  - { device: vault-1, controller: A, port: mgmt, role: management, network: bench, address: 127.0.0.1, services: tcp/${port} }
observe: [{ subject: vault-1, item: power lamp, expect: steady green }]
`,
    );
  });

  afterAll(() => {
    device.close();
  });

  it('says of itself what the one file says on this laptop', () => {
    const here = run(process.execPath, [path.join(release, 'matchmark.mjs'), '--help'], '/');
    expect(matchmark('--help')).toEqual(here);
    expect(matchmark('--version')).toEqual({ status: 0, out: `${VERSION}\n`, err: '' });
  });

  it('kit: what this laptop can do', () => {
    const { status, out } = matchmark('kit', '--json', '--vantage', 'bench');
    expect(status).toBe(0);
    expect(JSON.parse(out)).toMatchObject({
      format: 'matchmark.kit/1',
      version: VERSION,
      vantage: { name: 'bench', platform: expect.stringContaining('win32') },
    });
  });

  it('review: one plan by every kind of path, with blanks, umlauts, drive letters and the long form', () => {
    const inside = 'site\\plan.yaml';
    for (const plan of [
      inside,
      'site/plan.yaml',
      `C:\\${VISIT}\\${inside}`,
      `c:/${VISIT}/site/plan.yaml`,
      `\\\\?\\C:\\${VISIT}\\${inside}`,
    ]) {
      const { status, out } = matchmark('review', plan);
      expect({ plan, status }).toEqual({ plan, status: 0 });
      expect(oneLine(out)).toContain(reviewHeadline([]));
    }
    const missing = matchmark('review', 'C:\\nothing here.yaml');
    expect(missing).toMatchObject({ status: 2, out: '' });
    expect(missing.err).toContain('nothing here.yaml');
  });

  it('draft: an address list that review accepts', () => {
    expect(matchmark('draft', 'equipment.yaml', '--out', 'Entwurf für München')).toMatchObject({ status: 0 });
    expect(existsSync(path.join(visit, 'Entwurf für München/address-list.csv'))).toBe(true);
    const reviewed = matchmark('review', 'Entwurf für München\\plan.yaml');
    expect(reviewed.status, `${reviewed.out}\n${reviewed.err}`).toBe(0);
  });

  it('demo: every planted fault is found', () => {
    const { status, out } = matchmark('demo', '--out', 'demo run', '--vantage', 'bench');
    expect(out).toContain('All 7 were found');
    expect(status).toBe(0);
    expect(matrixOf('demo run')).toMatchObject({ run: { complete: true, version: VERSION } });
    expect(fileOf('demo run', 'matrix.html')).toMatch(/^<!doctype html>/i);
  });

  it('report: page, list and text from the demo, as this laptop makes them of the same result', () => {
    for (const form of ['html', 'csv', 'text']) {
      const there = matchmark('report', 'demo run', '--as', form);
      const here = run(
        process.execPath,
        [path.join(release, 'matchmark.mjs'), 'report', 'demo run', '--as', form],
        visit,
      );
      expect(there.status).toBe(here.status);
      // The old Windows console has no marks beyond ASCII; a page and a list are the same everywhere.
      if (form === 'text') expect(there.out).toContain('Harbour Library');
      else expect(there.out).toBe(here.out);
    }
  });

  it('check, twice, then attest, compare, combine', () => {
    expect(matchmark('check', 'bench.yaml', '--out', 'run-1', '--vantage', 'desk').status).toBe(0);
    expect(matchmark('check', 'bench.yaml', '--out', 'C:\\run 2', '--vantage', 'hall').status).toBe(0);
    expect(matrixOf('run-1').endpoints).toMatchObject([{ id: 'vault-1/A/mgmt', verdict: 'matches' }]);
    const looked = [
      '--subject',
      'vault-1',
      '--item',
      'power lamp',
      '--saw',
      'steady green',
      '--by',
      'Jürgen H.',
    ];
    expect(matchmark('attest', 'run-1', ...looked).status).toBe(0);
    expect(fileOf('run-1', 'matrix.json')).toContain('Jürgen H.');
    expect(matchmark('compare', 'run-1', 'C:\\run 2', '--json')).toMatchObject({ status: 0 });
    expect(matchmark('combine', 'run-1', '\\\\?\\C:\\run 2', '--out', 'both').status).toBe(0);
    expect(matrixOf('both').vantages.map(({ name }) => name)).toEqual(['desk', 'hall']);
  });

  it('seal and verify, and a file that was changed', () => {
    expect(matchmark('seal', '--new-key', 'Schlüssel', '--by', 'Jürgen H.').status).toBe(0);
    expect(matchmark('seal', 'both', '--key', 'Schlüssel.private').status).toBe(0);
    expect(matchmark('verify', 'both', '--key', 'Schlüssel.public').status).toBe(0);
    // What Windows sealed is whole here too.
    const here = [path.join(release, 'matchmark.mjs'), 'verify', 'both', '--key', 'Schlüssel.public'];
    expect(run(process.execPath, here, visit).status).toBe(0);
    writeFileSync(path.join(visit, 'both/matrix.html'), 'changed');
    const changed = matchmark('verify', 'both', '--key', 'Schlüssel.public');
    expect(changed.status).toBe(1);
    expect(changed.out).toContain('matrix.html');
  });

  it('names that Windows keeps for itself are refused before anything is asked', () => {
    for (const [out, why] of [
      ['nul', '"nul" is a device on Windows'],
      ['what?', 'no name may have ? in it'],
      ['Q:\\run-1', 'the folder or the drive that it should lie in is not there'],
    ] as const) {
      const { status, err } = matchmark('check', 'bench.yaml', '--out', out);
      expect({ out, status }).toEqual({ out, status: 2 });
      expect(err).toContain(why);
    }
  });

  it('explain', () => {
    expect(matchmark('explain', 'duplicate-address')).toMatchObject({ status: 0, err: '' });
    expect(matchmark('explain', 'no-such-code').status).toBe(2);
  });

  it('the README, word by word, in a folder with the program and an address list', () => {
    const [typed = []] = blocksOf('powershell');
    expect(typed).toHaveLength(2);
    const folder = path.join(windows.driveC, 'users/hale/Documents/matchmark');
    mkdirSync(folder, { recursive: true });
    copyFileSync(path.join(release, 'matchmark.exe'), path.join(folder, 'matchmark.exe'));
    const { port } = device.address() as AddressInfo;
    const list = `device,port,address,services\r\nvault-1,mgmt,127.0.0.1/8,tcp/${port}\r\n`;
    writeFileSync(path.join(folder, 'address-list.csv'), list);
    for (const line of typed) {
      const [program = '', ...args] = line.split(' ');
      expect({ line, status: windows.run(program, args, folder).status }).toEqual({ line, status: 0 });
    }
    expect(existsSync(path.join(folder, 'run-1/matrix.html'))).toBe(true);
  });

  it('a folder on a path longer than 260 characters, the limit of old Windows programs', () => {
    const deep = Array.from({ length: 12 }, (_, level) => `storey ${level} of the new library`).join('\\');
    expect(deep.length).toBeGreaterThan(300);
    expect(matchmark('check', 'bench.yaml', '--out', deep, '--vantage', 'desk').status).toBe(0);
    expect(fileOf(...deep.split('\\'), 'matrix.html')).toMatch(/^<!doctype html>/i);
    expect(matchmark('report', deep, '--as', 'csv')).toMatchObject({ status: 0 });
  });

  it('a page that another program holds: waited for while it lasts, else said, and page and data stay as they were', async () => {
    copyFileSync(await nodeFor(NODE.windowsX64), path.join(windows.driveC, 'carry/node.exe'));
    // 0x10000000 is libuv's UV_FS_O_EXLOCK: on Windows nobody else may open the file meanwhile.
    writeFileSync(
      path.join(visit, 'hold.cjs'),
      `const { existsSync, openSync } = require('node:fs');
       openSync('held\\\\matrix.html', 2 | 0x10000000);
       console.log('held');
       setTimeout(() => process.exit(), Number(process.argv[2]));
       setInterval(() => existsSync('let go') && process.exit(), 50);`,
    );
    const hold = (atMostMs: number): Promise<() => Promise<void>> =>
      windows.start('C:\\carry\\node.exe', ['hold.cjs', `${atMostMs}`], visit, 'held');
    cpSync(path.join(windows.driveC, 'run 2'), path.join(visit, 'held'), { recursive: true });
    rmSync(path.join(visit, 'let go'), { force: true });
    const both = (): readonly string[] => ['matrix.json', 'matrix.html'].map((name) => fileOf('held', name));
    const record = (saw: string): Ran =>
      matchmark(
        ...[
          'attest',
          'held',
          '--subject',
          'vault-1',
          '--item',
          'power lamp',
          '--saw',
          saw,
          '--by',
          'Jürgen H.',
        ],
      );

    const released = await hold(2500);
    expect(record('steady green')).toMatchObject({ status: 0 });
    await released();
    expect(both().map((text) => text.includes('Jürgen H.'))).toEqual([true, true]);

    const before = both();
    const closed = await hold(60_000);
    const refused = record('dark');
    writeFileSync(path.join(visit, 'let go'), '');
    expect(refused.status).toBe(3);
    const held = `C:\\${VISIT}\\held\\matrix.html`;
    expect(refused.err).toContain(`cannot write ${held}`);
    expect(refused.err).toContain(whatToClose({ code: 'EBUSY' }, held, 'win32'));
    await closed();
    expect(both().map((text, at) => text === before[at])).toEqual([true, true]);
    rmSync(path.join(windows.driveC, 'carry/node.exe'));
  });
});
