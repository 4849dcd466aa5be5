/** Bad input ends with 2, one message with what to do next, nothing probed and nothing left behind (issue 2, "Bad input"). */
import { mkdirSync, truncateSync } from 'node:fs';
import net from 'node:net';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { folderWith, namesIn, type Ran, run } from './run.js';

const PROBING = ['check', 'survey', 'drill'] as const;
const LIST =
  'device,port,address,services,group\nvault-1,a,127.0.77.1/24,https,vault-1\nvault-1,b,127.0.77.2/24,https,vault-1\n';
const NETWORKS = 'plan: 1\nnetworks: [{ name: mgmt, cidr: 127.0.77.0/24 }]\n';
const bomb = `plan: 1\n${Array.from({ length: 12 }, (_, level) =>
  level === 0
    ? 'a0: &a0 [x, x, x, x, x, x, x, x, x]'
    : `a${level}: &a${level} [${Array(9)
        .fill(`*a${level - 1}`)
        .join(', ')}]`,
).join('\n')}\nendpoints: *a11\n`;

/** One message: a first line that says what, an indented line that says what next. */
function expectOneMessage({ status, out, err }: Ran, what: RegExp, next: RegExp = /./): void {
  expect(err).toMatch(/^matchmark: [^\n]+\n( {2}[^\n]+\n)+$/);
  expect(err.split('\n')[0]).toMatch(what);
  expect(err.split('\n').slice(1).join('\n')).toMatch(next);
  expect(err).not.toMatch(/^\s+at .*:\d+/m);
  expect({ status, out }).toEqual({ status: 2, out: '' });
}

const plans: readonly (readonly [
  string,
  string,
  Readonly<Record<string, string | Uint8Array>>,
  RegExp,
  RegExp,
])[] = [
  [
    'no such file',
    'plan.yml',
    { 'plan.yaml': NETWORKS },
    /no file "plan\.yml"; nothing was probed/,
    /mean "plan\.yaml"/,
  ],
  ['no such file and none like it', 'sub/plan.yaml', {}, /no file "sub\/plan\.yaml"/, /Looked in/],
  [
    'a folder',
    'handover',
    { 'handover/list.csv': LIST },
    /"handover" is a folder/,
    /It holds|holds list\.csv/,
  ],
  ['an empty name', '', {}, /name of the plan is empty/, /Name a plan/],
  ['an empty file', 'plan.yaml', { 'plan.yaml': '' }, /plan\.yaml: the file is empty/, /demo --out/],
  ['an empty list', 'list.csv', { 'list.csv': '' }, /list\.csv: the file is empty/, /demo --out/],
  [
    'a picture',
    'list.csv',
    { 'list.csv': Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0, 0, 13]) },
    /binary data/,
    /Name a plan/,
  ],
  [
    'YAML anchors that multiply',
    'plan.yaml',
    { 'plan.yaml': bomb },
    /line \d+: the YAML aliases expand/,
    /Correct the plan/,
  ],
  [
    'two headers alike',
    'list.csv',
    { 'list.csv': 'device,port,address,Address\nvault-1,a,127.0.77.1,127.0.77.2\n' },
    /row 1.*"Address" twice/,
    /Correct/,
  ],
  [
    'an address list that is not there',
    'plan.yaml',
    { 'plan.yaml': 'plan: 1\nendpoints: nowhere.csv\n' },
    /line 2, endpoints: there is no file "nowhere\.csv"/,
    /Correct/,
  ],
  [
    'a list without a usable row',
    'list.csv',
    { 'list.csv': 'device,port,address\n,,\n' },
    /no usable row/,
    /Correct/,
  ],
  [
    'an unknown network',
    'plan.yaml',
    {
      'plan.yaml': `${NETWORKS}endpoints: [{ device: vault-1, port: a, address: 127.0.77.1, network: mgnt }]\n`,
    },
    /no network "mgnt".*did you mean "mgmt"/,
    /Correct/,
  ],
  [
    'an unknown credential',
    'plan.yaml',
    {
      'plan.yaml': `${NETWORKS}snmp: { site-ro: { community: "env:X" } }\nendpoints: [{ device: vault-1, port: a, address: 127.0.77.1, snmp: site-r0 }]\n`,
    },
    /no such credential.*"site-r0"/,
    /Correct/,
  ],
];

describe.each(['review', ...PROBING])('matchmark %s', (command) => {
  test.each(plans)('%s', async (_what, name, files, what, next) => {
    const cwd = folderWith(files);
    const before = namesIn(cwd);
    const asked = command === 'review' ? [] : ['--out', 'handover-to'];
    expectOneMessage(await run([command, name, ...asked], { cwd }), what, next);
    expect(namesIn(cwd)).toEqual(before);
  });

  test('a CSV of 50 MB ends at once', async () => {
    const cwd = folderWith({ 'list.csv': LIST });
    truncateSync(path.join(cwd, 'list.csv'), 50_000_000);
    const started = performance.now();
    expectOneMessage(await run([command, 'list.csv'], { cwd }), /too large.*50 MB/, /leave out/);
    expect(performance.now() - started).toBeLessThan(2000);
  });

  test('no plan named', async () => {
    expectOneMessage(
      await run([command]),
      /missing required argument 'plan'/,
      new RegExp(`${command} --help`),
    );
  });

  test('several mistakes are all said, each with its place, under one message', async () => {
    const cwd = folderWith({
      'list.csv': 'device,port,address,mac\nvault-1,a,192.0.2.300,\nvault-1,b,192.0.2.4/24,xx\n',
    });
    const { status, err } = await run([command, 'list.csv'], { cwd });
    expect(status).toBe(2);
    expect(err).toMatch(
      /^matchmark: the plan has 2 errors; nothing was probed:\n {2}list\.csv, row 2.*\n {2}list\.csv, row 3.*\n {2}Correct/,
    );
  });
});

describe('options', () => {
  const MATRIX = '{"format":"matchmark.matrix/9"}';
  test.each<[readonly string[], RegExp, RegExp]>([
    [['chek', 'list.csv'], /unknown command 'chek'/, /Did you mean check\?/],
    [['check', 'list.csv', '--jsn'], /unknown option '--jsn'/, /--json/],
    [['--wrong'], /unknown option '--wrong'/, /matchmark --help/],
    [['check', 'list.csv', 'other.csv'], /too many arguments/, /check --help/],
    [['check', 'list.csv', '--stage', 'poweron'], /unknown stage "poweron"/, /power-on and configured/],
    [['check', 'list.csv', '--only', 'valut-1'], /no device "valut-1"/, /Did you mean "vault-1"/],
    [['check', 'list.csv', '--only', 'zzz'], /no device "zzz"/, /It has: vault-1/],
    [
      ['check', 'list.csv', '--since', 'nowhere.json'],
      /cannot read the survey nowhere\.json: it does not exist/,
      /matchmark survey/,
    ],
    [['check', 'list.csv', '--since', 'folder'], /no survey\.json in folder/, /matchmark survey/],
    [['check', 'list.csv', '--since', 'list.csv'], /list\.csv is not JSON/, /survey\.json/],
    [['check', 'list.csv', '--since', 'matrix.json'], /matrix\.json is no survey/, /survey\.json/],
    [
      ['check', 'list.csv', '--out', 'list.csv'],
      /cannot write into .*list\.csv: a file is in the way/,
      /--out DIR/,
    ],
    [['check', 'list.csv', '--out', 'list.csv/below/it'], /a file is in the way/, /--out DIR/],
    [['check', 'list.csv', '--out', ''], /--out is given, but empty/, /leave --out out/],
    [['check', 'list.csv', '--vantage', ' '], /--vantage is given, but empty/, /leave --vantage out/],
    [['check', 'list.csv', '--out', `deep/${'x'.repeat(300)}`], /name is too long/, /--out DIR/],
    [['drill', 'list.csv', '--hold', 'long'], /"long" is no number of seconds/, /0 to 86400/],
    [['drill', 'list.csv', '--group', 'vualt-1'], /no group "vualt-1"/, /Did you mean "vault-1"/],
    [['drill', 'plain.csv'], /no redundancy group/, /the same "group"/],
    [['attest', 'nowhere'], /cannot read the run nowhere/, /matchmark check/],
    [['attest', 'folder'], /no matrix\.json in folder/, /matchmark check/],
    [['attest', 'matrix.json'], /its format is "matchmark\.matrix\/9"/, /matrix\.json/],
    [['explain', 'duplicate-adress'], /no finding code/, /duplicate-address/],
  ])('%j', async (argv, what, next) => {
    const cwd = folderWith({
      'list.csv': LIST,
      'plain.csv': 'device,port,address\nvault-1,a,127.0.77.1/24\n',
      'matrix.json': MATRIX,
    });
    mkdirSync(path.join(cwd, 'folder'));
    const before = namesIn(cwd);
    expectOneMessage(await run(argv, { cwd }), what, next);
    expect(namesIn(cwd)).toEqual(before);
  });

  // Linux: mkdir(2) below /proc says ENOENT although the parent is there.
  test.skipIf(process.platform !== 'linux')(
    'a folder that cannot be is refused, not waited for',
    async () => {
      const cwd = folderWith({ 'list.csv': LIST });
      expectOneMessage(
        await run(['check', 'list.csv', '--out', '/proc/handover/x'], { cwd }),
        /cannot write into/,
        /--out DIR/,
      );
    },
  );
});

test('no connection is opened to what a refused plan names', async () => {
  let connections = 0;
  const server = net.createServer((socket) => {
    connections += 1;
    socket.destroy();
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;
  const cwd = folderWith({
    'list.csv': `device,port,address,services,mac\nvault-1,a,127.0.0.1/8,tcp/${port},\nvault-1,b,127.0.77.2/24,,xx\n`,
  });
  for (const command of PROBING) expect((await run([command, 'list.csv'], { cwd })).status).toBe(2);
  await new Promise((resolve) => server.close(resolve));
  expect(connections).toBe(0);
});
