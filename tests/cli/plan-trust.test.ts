/** What a plan by others may have this laptop read and send (issue 13.2). */
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { folderWith, namesIn, run } from './run.js';

const SECRET = 'hunter-secret-7';
const LIST = 'device,port,address,snmp\nvault-1,mgmt,127.0.0.1/8,ro\n';

function site(community: string) {
  const cwd = folderWith({ 'site/list.csv': LIST, 'keys/ro': `${SECRET}\n`, 'site/own/ro': `${SECRET}\n` });
  writeFileSync(
    path.join(cwd, 'site/plan.yaml'),
    `plan: 1\nendpoints: list.csv\nsnmp: { ro: { community: "${community}" } }\n`,
  );
  return cwd;
}

const COMMANDS = ['check', 'survey', 'follow'];

test.each(COMMANDS)(
  '%s refuses a file outside the folder of the plan before anything is sent',
  async (command) => {
    const cwd = site('file:../keys/ro');
    const { status, err, out } = await run([command, 'site/plan.yaml', '--out', 'run'], { cwd });
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(/would read .*keys.ro outside its own folder/);
    expect(err).toContain('--allow-secrets-from');
    expect(namesIn(cwd)).not.toContain('run');
  },
);

test('a link in the folder of the plan that leads outside is outside', async () => {
  const cwd = site('file:link');
  symlinkSync(path.join(cwd, 'keys/ro'), path.join(cwd, 'site/link'));
  expect((await run(['check', 'site/plan.yaml', '--out', 'run'], { cwd })).status).toBe(2);
});

test.each([
  ['its folder is allowed', 'file:../keys/ro', ['--allow-secrets-from', 'keys']],
  ['it lies below the plan', 'file:own/ro', []],
])('%s: the run begins, and the secret is in nothing that is written', async (_, community, more) => {
  const cwd = site(community);
  const { status, err } = await run(['check', 'site/plan.yaml', '--out', 'run', '--json', ...more], { cwd });
  expect(status, err).not.toBe(2);
  expect(err).not.toContain(SECRET);
});

test('review names every variable and every file outside, and sends nothing', async () => {
  const cwd = site('file:../keys/ro');
  mkdirSync(path.join(cwd, 'env'));
  writeFileSync(
    path.join(cwd, 'env/plan.yaml'),
    'plan: 1\nendpoints: [{ device: v, port: m, address: 127.0.0.1/8, snmp: ro }]\nsnmp: { ro: { version: 3, user: u, authKey: "env:SITE_AUTH" } }\n',
  );
  const file = await run(['review', 'site/plan.yaml'], { cwd });
  expect(file.err).toMatch(/note: the plan reads the file .*keys.ro, outside its folder, as community of ro/);
  const env = await run(['review', 'env/plan.yaml', '--json'], { cwd });
  expect(env.err).toContain('note: the plan reads the environment variable SITE_AUTH as authKey of ro');
  expect(JSON.parse(env.out).secrets).toEqual([
    { credential: 'ro', key: 'authKey', kind: 'env', where: 'SITE_AUTH', outside: false },
  ]);
});

test.each([
  ['multicast', '224.0.0.251', '192.0.2.0/24'],
  ['multicast of IPv6', 'ff02::1', '2001:db8::/64'],
  ['the broadcast address', '255.255.255.255', '192.0.2.0/24'],
  ['the broadcast address of its network', '192.0.2.255', '192.0.2.0/24'],
  ['no address', '0.0.0.0', '192.0.2.0/24'],
])('%s is never asked', async (_, address, cidr) => {
  const cwd = folderWith({
    'plan.yaml': `plan: 1\nnetworks: [{ name: net, cidr: "${cidr}" }]\nendpoints: [{ device: v, port: m, address: "${address}" }]\n`,
  });
  for (const command of COMMANDS) {
    const { status, err } = await run([command, 'plan.yaml', '--out', 'run'], { cwd });
    expect(status, command).toBe(2);
    expect(err).toContain(address);
    expect(err).toContain('nothing was probed');
  }
});
