import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { folderWith, namesIn, run } from './run.js';

const FIXTURE = readFileSync(new URL('../../fixtures/equipment.yaml', import.meta.url), 'utf8');
const SMALL = (count: number) =>
  `equipment: 1\nnetworks: [{ name: lan, cidr: 198.51.100.0/30 }]\nitems: [{ name: press, count: ${count}, ports: [{ name: nic0, role: host, network: lan }] }]\n`;
const WRITTEN = ['address-list.csv', 'draft.json', 'plan.yaml'];

describe('an equipment list whose networks suffice', () => {
  test('writes a list and a plan that review takes without an error and without a finding above a note', async () => {
    const cwd = folderWith({ 'equipment.yaml': FIXTURE });
    const { status, out, err } = await run(['draft', 'equipment.yaml', '--out', 'site'], { cwd });
    expect(status).toBe(0);
    expect(out).toContain('Harbour Library: 16 addresses for 4 devices. The networks have them.');
    expect(err).toBe(`List: ${path.join('site', 'address-list.csv')} (plan.yaml and draft.json beside it)\n`);
    expect(namesIn(path.join(cwd, 'site'))).toEqual(WRITTEN);
    for (const plan of ['site/address-list.csv', 'site/plan.yaml']) {
      const reviewed = await run(['review', plan], { cwd });
      expect({ status: reviewed.status, err: reviewed.err }).toEqual({ status: 0, err: '' });
      expect(reviewed.out).toContain('nothing in the plan is known to be wrong');
    }
  });

  test('--json is alone on standard output, and the same bytes as draft.json', async () => {
    const cwd = folderWith({ 'equipment.yaml': FIXTURE });
    const { status, out } = await run(['draft', 'equipment.yaml', '--json', '--quiet'], { cwd });
    expect(status).toBe(0);
    const folder = namesIn(cwd).find((name) => /^draft-\d{8}-\d{6}$/.test(name)) ?? '';
    expect(readFileSync(path.join(cwd, folder, 'draft.json'), 'utf8')).toBe(out);
    expect(JSON.parse(out)).toMatchObject({
      format: 'matchmark.draft/1',
      site: 'Harbour Library',
      suffices: true,
      summary: { stop: 0, fix: 0 },
    });
  });

  test('a list that is there stays as it is, unless --force', async () => {
    const cwd = folderWith({ 'equipment.yaml': SMALL(2), 'site/address-list.csv': 'mine' });
    const refused = await run(['draft', 'equipment.yaml', '--out', 'site'], { cwd });
    expect(refused.status).toBe(2);
    expect(refused.err).toMatch(/address-list\.csv is there already; nothing was written\n {2}.*--force/);
    expect(namesIn(path.join(cwd, 'site'))).toEqual(['address-list.csv']);
    expect(readFileSync(path.join(cwd, 'site/address-list.csv'), 'utf8')).toBe('mine');
    const forced = await run(['draft', 'equipment.yaml', '--out', 'site', '--force'], { cwd });
    expect(forced.status).toBe(0);
    expect(readFileSync(path.join(cwd, 'site/address-list.csv'), 'utf8')).toContain('press-2,,nic0');
  });

  test('a plan that is there counts too', async () => {
    const cwd = folderWith({ 'equipment.yaml': SMALL(1), 'site/plan.yaml': 'plan: 1\n' });
    expect((await run(['draft', 'equipment.yaml', '--out', 'site'], { cwd })).status).toBe(2);
  });
});

describe('an equipment list whose networks do not suffice', () => {
  test('stop, exit 1, the count is written and no list is', async () => {
    const cwd = folderWith({ 'equipment.yaml': SMALL(3) });
    const { status, out, err } = await run(['draft', 'equipment.yaml', '--out', 'site'], { cwd });
    expect(status).toBe(1);
    expect(out).toMatch(/^STOP {3}1\. Not enough addresses: lan/);
    expect(out).toMatch(/lan {6}198\.51\.100\.0\/30 +2 +0 +0 +2 +3 {2}1 short/);
    expect(err).toContain('No address-list.csv was written');
    expect(namesIn(path.join(cwd, 'site'))).toEqual(['draft.json']);
    const quiet = await run(['draft', 'equipment.yaml', '--out', 'site', '--quiet'], { cwd });
    expect(quiet).toMatchObject({
      status: 1,
      err: '',
      out: expect.stringContaining('(not-enough-addresses)'),
    });
  });
});

describe('what is no equipment list', () => {
  test.each([
    ['', 'x.yaml', 'the name of the equipment list is empty'],
    ['absent.yaml', 'x.yaml', 'absent.yaml: there is no file'],
    ['plan.yaml', 'plan.yaml', 'an equipment list; this is a plan'],
  ])('"%s": exit 2 and nothing written', async (given, name, said) => {
    const cwd = folderWith({ [name]: 'plan: 1\nendpoints: []\n' });
    const { status, err } = await run(['draft', given, '--out', 'site'], { cwd });
    expect(status).toBe(2);
    expect(err).toContain(said);
    expect(namesIn(cwd)).toEqual([name]);
  });

  test('an error says where it stands', async () => {
    const cwd = folderWith({
      'e.yaml': SMALL(1).replace('name: lan', 'name: wan').replace('role: host', 'role: 7'),
    });
    const { status, err } = await run(['draft', 'e.yaml'], { cwd });
    expect(status).toBe(2);
    expect(err).toMatch(/^matchmark: .*items\[0\]\.ports\[0\]/);
  });

  test('a folder that cannot be written is told before the list is lost', async () => {
    const cwd = folderWith({ 'equipment.yaml': SMALL(1) });
    mkdirSync(path.join(cwd, 'site'));
    writeFileSync(path.join(cwd, 'site', 'file'), '');
    const { status, err } = await run(['draft', 'equipment.yaml', '--out', 'site/file'], { cwd });
    expect(status).toBe(2);
    expect(err).toContain('cannot write into');
  });
});
