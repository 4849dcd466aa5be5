import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { folderWith, namesIn, run } from './run.js';

const FIXTURE = readFileSync(new URL('../../fixtures/equipment.yaml', import.meta.url), 'utf8');
const SMALL = (count: number) =>
  `equipment: 1\nnetworks: [{ name: lan, cidr: 198.51.100.0/30 }]\nitems: [{ name: press, count: ${count}, ports: [{ name: nic0, role: host, network: lan }] }]\n`;
const WRITTEN = ['address-list.csv', 'address-list.xlsx', 'draft.json', 'eyes.csv', 'plan.yaml'];

describe('an equipment list whose networks suffice', () => {
  test('writes a list and a plan that review takes without an error and without a finding above a note', async () => {
    const cwd = folderWith({ 'equipment.yaml': FIXTURE });
    const { status, out, err } = await run(['draft', 'equipment.yaml', '--out', 'site'], { cwd });
    expect(status).toBe(0);
    expect(out).toContain('Harbour Library: 16 addresses for 4 devices. The networks have them.');
    expect(err).toBe(
      `List: ${path.join('site', 'address-list.csv')} (address-list.xlsx, plan.yaml, eyes.csv and draft.json beside it)\n`,
    );
    expect(namesIn(path.join(cwd, 'site'))).toEqual(WRITTEN);
    for (const plan of ['site/address-list.csv', 'site/address-list.xlsx', 'site/plan.yaml']) {
      const reviewed = await run(['review', plan], { cwd });
      expect({ status: reviewed.status, err: reviewed.err }).toEqual({ status: 0, err: '' });
      expect(reviewed.out).toContain('Nothing in the plan is known to be wrong');
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

describe('what was known before', () => {
  test('--keep: numbers, cables and what people filled in stay when a device is added before them', async () => {
    const cwd = folderWith({ 'equipment.yaml': FIXTURE });
    await run(['draft', 'equipment.yaml', '--out', 'site'], { cwd });
    const list = path.join(cwd, 'site/address-list.csv');
    const before = readFileSync(list, 'utf8').replace(
      'vault-1,A,mgmt,management,mgmt,192.0.2.10/24,,',
      'vault-1,A,mgmt,management,mgmt,192.0.2.10/24,00:00:5e:00:53:01,',
    );
    writeFileSync(list, before);
    writeFileSync(
      path.join(cwd, 'more.yaml'),
      FIXTURE.replace(
        'items:\n',
        'items:\n  - { name: attic, ports: [{ name: mgmt, role: management, network: mgmt }] }\n',
      ),
    );
    const ran = await run(['draft', 'more.yaml', '--keep', 'site/address-list.csv', '--out', 'later'], {
      cwd,
    });
    expect(ran.status).toBe(0);
    const after = readFileSync(path.join(cwd, 'later/address-list.csv'), 'utf8').split('\r\n');
    expect(before.split('\r\n').filter((line) => !after.includes(line))).toEqual([]);
    expect(after.filter((line) => !before.split('\r\n').includes(line))).toHaveLength(1);
  });

  test('--in-use: an address that answered in a survey is not given out', async () => {
    const survey = {
      format: 'matchmark.survey/1',
      takenAt: '2030-01-01T00:00:00Z',
      vantage: 'laptop',
      site: 'x',
      complete: true,
      entries: [
        {
          address: '198.51.100.1',
          macs: [],
          kind: 'other',
          devices: [],
          identity: {},
          icmp: { outcome: 'replied', rttMs: 1 },
          tcp: [],
        },
      ],
      asked: { planned: 0, defaults: 0, networks: [] },
      silent: [],
      unproven: [],
      findings: [],
    };
    const cwd = folderWith({ 'equipment.yaml': SMALL(1), 'survey.json': JSON.stringify(survey) });
    const ran = await run(['draft', 'equipment.yaml', '--in-use', 'survey.json', '--out', 'site'], { cwd });
    expect(ran).toMatchObject({ status: 0, err: expect.stringContaining('List:') });
    expect(readFileSync(path.join(cwd, 'site/address-list.csv'), 'utf8')).toContain(
      'press-1,,nic0,host,lan,198.51.100.2/30',
    );
    expect(readFileSync(path.join(cwd, 'site/plan.yaml'), 'utf8')).toMatch(/in-use:\n +- 198\.51\.100\.1\n/);
  });

  test("--eyes: the customer's list stands among the usual one, and the plan has both", async () => {
    const cwd = folderWith({
      'equipment.yaml': FIXTURE,
      'eyes.csv':
        'Subject;Item;Expect;When\nrack R3;door;locked;handover\nvault-1;labels;the customer tag;cabled\n',
    });
    await run(['draft', 'equipment.yaml', '--eyes', 'eyes.csv', '--out', 'site'], { cwd });
    const rows = readFileSync(path.join(cwd, 'site/eyes.csv'), 'utf8').split('\r\n');
    expect(rows[0]).toBe('when,subject,item,expect,saw,by');
    expect(rows).toContain('handover,rack R3,door,locked,,');
    expect(rows.filter((row) => row.startsWith('cabled,vault-1,labels'))).toEqual([
      'cabled,vault-1,labels,the customer tag,,',
    ]);
    const bad = await run(['draft', 'equipment.yaml', '--eyes', 'site/address-list.csv', '--out', 'b'], {
      cwd,
    });
    expect(bad).toMatchObject({ status: 2, err: expect.stringContaining('subject, item, expect') });
  });
});

describe('an equipment list whose networks do not suffice', () => {
  test('stop, exit 1, the count is written and no list is', async () => {
    const cwd = folderWith({ 'equipment.yaml': SMALL(3) });
    const { status, out, err } = await run(['draft', 'equipment.yaml', '--out', 'site'], { cwd });
    expect(status).toBe(1);
    expect(out).toMatch(/^STOP {3}1\. Not enough addresses: lan/);
    expect(out).toMatch(/lan {6}198\.51\.100\.0\/30 +2 +0 +0 +2 +3 {2}1 short/);
    // RFC 4632 §3.1: a /30 has 2 usable addresses, a /29 has 6; three are needed.
    expect(out.replace(/\s+/g, ' ')).toContain('for a /29, the smallest network that would do');
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
