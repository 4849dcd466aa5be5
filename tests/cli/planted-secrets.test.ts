/** Secrets planted everywhere a plan can have them, every output of every command searched for them (issue 13.15). */
import { cpSync, readdirSync, readFileSync } from 'node:fs';
import { createServer } from 'node:net';
import path from 'node:path';
import { expect, test } from 'vitest';
import { folderWith, type Ran, run } from './run.js';

const SECRETS = {
  env: 'env-Secret-4711',
  file: 'file-Secret-4712',
  literal: 'literal-Secret-4713',
  authKey: 'auth-Secret-4714-key',
  privKey: 'priv-Secret-4715-key',
  column: 'column-Secret-4716',
  note: 'note-Secret-4717',
} as const;

/** As it is, and as it might be dressed. */
function formsOf(secret: string): string[] {
  const bytes = Buffer.from(secret);
  const wide = Buffer.from(secret, 'utf16le');
  // Base64 of the same text differs with the octets before it: the middle of each of three alignments.
  const aligned = [0, 1, 2].map((shift) =>
    Buffer.concat([Buffer.alloc(shift), bytes])
      .toString('base64')
      .slice(4, -4),
  );
  return [
    secret,
    bytes.toString('hex'),
    bytes.toString('hex').toUpperCase(),
    wide.toString('base64').slice(0, -4),
    ...aligned,
  ];
}

const FORMS = Object.values(SECRETS).flatMap((secret) =>
  formsOf(secret).map((form) => [secret, form] as const),
);

function expectClean(what: string, content: string): void {
  for (const [secret, form] of FORMS)
    expect(content.includes(form), `${what} holds ${secret} as ${form}`).toBe(false);
}

/** Command lines of every process that runs. */
function commandLines(): string {
  if (process.platform !== 'linux') return '';
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .map((pid) => {
      try {
        return readFileSync(`/proc/${pid}/cmdline`, 'latin1').replaceAll('\0', ' ');
      } catch {
        return '';
      }
    })
    .join('\n');
}

const PLAN = `plan: 1
site: { name: Harbour Library }
networks: [{ name: mgmt, cidr: 127.0.0.0/8 }]
endpoints: list.csv
snmp:
  one: { version: 2c, community: "env:PLANTED" }
  two: { version: 2c, community: "file:keys/two" }
  three: { version: 1, community: "${SECRETS.literal}" }
  four: { version: 3, user: meter, level: authPriv, auth: sha, priv: aes, authKey: "${SECRETS.authKey}", privKey: "${SECRETS.privKey}" }
observe: [{ subject: vault-1, item: power lamp, expect: green }]
`;

test('no command shows or writes one, dressed or not', { timeout: 120_000 }, async () => {
  const server = createServer((socket) => socket.on('error', () => {}).end('SSH-2.0-demo\r\n'));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;
  const rows = ['one', 'two', 'three', 'four'].map(
    (snmp, index) =>
      `vault-${index + 1},mgmt,127.0.0.1${index === 0 ? '' : index}/8,ssh:${port} snmp,g,${snmp},${SECRETS.column},password: ${SECRETS.note}`,
  );
  const cwd = folderWith({
    'plan.yaml': PLAN,
    'list.csv': ['device,port,address,services,group,snmp,admin password,note', ...rows].join('\n'),
    'keys/two': `${SECRETS.file}\n`,
  });
  const env = { LANG: 'C.UTF-8', NO_COLOR: '1', PLANTED: SECRETS.env, MATCHMARK_DEBUG: '1' };
  const seen: [string, Ran][] = [];
  const lists = new Set<string>();
  const watching = setInterval(() => lists.add(commandLines()), 200);
  const commands: readonly (readonly string[])[] = [
    ['review', 'plan.yaml'],
    ['review', 'plan.yaml', '--json', '--out', 'review'],
    ['survey', 'plan.yaml', '--out', 'survey'],
    ['check', 'plan.yaml', '--out', 'run', '--since', 'survey'],
    ['check', 'plan.yaml', '--out', 'json', '--json'],
    ['follow', 'plan.yaml', '--rounds', '1', '--interval', '1', '--out', 'follow'],
    ['report', 'run', '--as', 'html', '--out', 'report'],
    ['report', 'run', '--as', 'csv', '--out', 'report'],
    ['report', 'run', '--as', 'text'],
    ['report', 'run', '--json'],
    ['attest', 'run', '--subject', 'vault-1', '--item', 'power lamp', '--saw', 'green', '--by', 'R. Hale'],
    ['combine', 'run', 'json', '--out', 'combined'],
    ['compare', 'run', 'combined', '--out', 'compare'],
    ['check', 'plan.yaml', '--stage', 'power-on', '--out', 'power-on'],
    ['follow', 'plan.yaml', '--rounds', '1', '--interval', '1', '--json', '--out', 'follow-json'],
    ['drill', 'plan.yaml', '--list'],
    ['drill', 'plan.yaml', '--list', '--json', '--resume', 'run'],
    ['kit', '--json'],
    ['seal', 'run'],
    ['verify', 'run'],
  ];
  try {
    for (const argv of commands) seen.push([argv.join(' '), await run(argv, { cwd, env })]);
    // Cut off, so that its journal stays.
    const cut = new AbortController();
    let said = '';
    const stderr = {
      isTTY: false,
      write: (text: string) => {
        said += text;
        if (text.includes('Asking')) cut.abort();
      },
    };
    const argv = ['check', 'plan.yaml', '--out', 'cut'];
    const ran = await run(argv, { cwd, env, stderr, signal: cut.signal });
    seen.push(['check, cut off', { ...ran, err: said }]);
    cpSync(path.join(cwd, 'cut'), path.join(cwd, 'resumed'), { recursive: true });
    seen.push(['check, gone on with', await run(['check', '--resume', 'resumed'], { cwd, env })]);
  } finally {
    clearInterval(watching);
    server.close();
  }
  for (const [what, { out, err, status }] of seen) {
    expect(status, `${what}: ${err}`).not.toBe(2);
    expectClean(`standard output of ${what}`, out);
    expectClean(`standard error of ${what}`, err);
  }
  for (const list of lists) expectClean('the process list', list);
  const written = readdirSync(cwd, { recursive: true, withFileTypes: true }).filter((entry) =>
    entry.isFile(),
  );
  const ours = written.filter(({ parentPath, name }) => parentPath !== cwd && name !== 'two');
  expect(ours.map(({ name }) => name)).toContain('.matchmark-journal');
  expect(ours.length).toBeGreaterThan(15);
  for (const { parentPath, name } of ours)
    expectClean(name, readFileSync(path.join(parentPath, name), 'latin1'));
});
