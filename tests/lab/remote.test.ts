/** `check --from`: what the laptop cannot see is proven from hosts that it reaches by SSH, with Node and without. */

import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { labRefusal, PROJECT } from './support/lab.js';
import { BARE, buildRemoteSite, type RemoteSite, VAULT_MAC, verdictsOf } from './support/remote-site.js';
import { programsRefusal } from './support/services.js';
import { pathWith, startSshd } from './support/ssh.js';

const refusal =
  (await labRefusal()) ?? programsRefusal('ping', 'ssh', 'sshd', 'ssh-keygen', 'bash', 'timeout');
if (refusal !== undefined) console.warn(`SKIPPED: looking from elsewhere in the lab: ${refusal}`);

// Each test has a host of its own: they look at the same vault side by side.
describe.skipIf(refusal !== undefined).concurrent('looking from hosts that the laptop reaches by SSH', () => {
  let site: RemoteSite;
  beforeAll(async () => {
    site = await buildRemoteSite();
  });
  afterAll(() => site?.lab.remove());

  it('a host with Node proves what the laptop cannot see, and nothing of it stays there', async () => {
    const { host: press, mgmt: address } = await site.addHost('press-1');
    const sshd = await startSshd(press, site.keys);
    const before = await press.running();
    const alone = await site.check('--no-from');
    expect(verdictsOf(alone.matrix).every((each) => each.endsWith('unproven'))).toBe(true);
    const { matrix, ran } = await site.check('--from', `ssh://root@${address}`);
    expect(ran.stderr).toContain(`${address} is done`);
    expect(verdictsOf(matrix)).toEqual([
      'vault-1/A/data0 matches',
      'vault-1/B/data1 differs',
      'vault-1/B/data2 missing',
    ]);
    expect(matrix.vantages.map(({ name }) => name)).toContain(address);
    expect(matrix.evidence.find(({ vantage }) => vantage.name === address)?.vantage.from).toBe(
      `ssh://root@${address}`,
    );
    const mtu = matrix.endpoints[1]?.facts.find(({ fact }) => fact === 'mtu');
    expect(mtu).toMatchObject({ state: 'differs', vantage: address });
    await vi.waitFor(async () => expect(await press.running()).toEqual(before), {
      timeout: 10_000,
      interval: 500,
    });
    await sshd.stop();
  });

  it('a host without Node is asked by its shell, and what that cannot ask is said so', async () => {
    const { host: press, mgmt: address } = await site.addHost('press-bare');
    const sshd = await startSshd(press, site.keys, { path: pathWith(site.lab, 'bare', BARE) });
    const { matrix, ran } = await site.check('--from', `ssh://root@${address}`);
    expect(ran.stderr).toContain(`${address} is done`);
    const [data0, data1, data2] = matrix.endpoints;
    const [seen] = data0?.sightings.filter(({ vantage }) => vantage === address) ?? [];
    expect(seen).toMatchObject({
      reach: 'on-link',
      macs: [VAULT_MAC],
      icmp: { outcome: 'replied' },
      mtu: { outcome: 'passes', mtu: 9000 },
    });
    expect(seen?.tcp.map(({ service, outcome }) => [service, outcome])).toEqual([
      ['ssh', 'accepted'],
      ['tcp/3260', 'accepted'],
    ]);
    const services = data0?.facts.filter(({ fact }) => fact.startsWith('service'));
    expect(services?.map(({ planned, state }) => [planned, state])).toEqual([
      ['ssh on tcp port 22', 'unproven'],
      ['tcp/3260', 'matches'],
    ]);
    expect(data1?.facts.find(({ fact }) => fact === 'mtu')).toMatchObject({ state: 'differs' });
    expect(data2?.verdict).toBe('missing');
    await sshd.stop();
  });

  it('a run that was cut off is gone on with from the same places, without naming them again', async () => {
    const { host: press, mgmt: address } = await site.addHost('press-resumed');
    const sshd = await startSshd(press, site.keys);
    const out = path.join(site.lab.folder, 'cut-off');
    const { env, planFile: list } = site;
    const running = site.laptop.start(
      process.execPath,
      [
        path.join(PROJECT, 'bin/matchmark.js'),
        'check',
        list,
        '--from',
        `ssh://root@${address}`,
        '--out',
        out,
      ],
      { env },
    );
    await running.waitFor(/Asking|addresses done/, 30_000);
    process.kill(running.child.pid ?? 0, 'SIGINT');
    const status = await new Promise((resolve) => running.child.on('close', resolve));
    expect(status, running.output()).toBe(130);
    const ran = await site.laptop.matchmark(['check', '--resume', out, '--json'], {
      env,
      timeoutMs: 170_000,
    });
    expect(ran.stderr).toContain(`Looking from ${address} as well (ssh://root@${address}).`);
    const matrix = JSON.parse(ran.stdout) as Matrix;
    expect(matrix.run.complete).toBe(true);
    expect(verdictsOf(matrix)).toEqual([
      'vault-1/A/data0 matches',
      'vault-1/B/data1 differs',
      'vault-1/B/data2 missing',
    ]);
    await sshd.stop();
  });

  /** What OpenSSH for Windows starts, as far as it matters here: programs by name, double quotes alone. Its words are from memory. */
  const COMMAND_INTERPRETER = `case "$SSH_ORIGINAL_COMMAND" in
'node -e "'*)
  rest=\${SSH_ORIGINAL_COMMAND#node -e \\"}
  if command -v node >/dev/null; then exec node -e "\${rest%\\" *}" "\${rest##*\\" }"; fi;;
esac
printf "'%s' is not recognized as an internal or external command,\\r\\n" "\${SSH_ORIGINAL_COMMAND%% *}" >&2
exit 1
`;

  it.each([
    ['is asked by its Node', {}, undefined],
    [
      'is said to have neither',
      { programs: ['sh'] },
      /neither a POSIX shell nor Node: a Windows host needs Node 20/,
    ],
  ] as const)(
    'a host whose login starts no POSIX shell %s',
    async (_what, { programs }: { programs?: readonly string[] }, trouble) => {
      const { host: press, mgmt: address } = await site.addHost(programs === undefined ? 'cmd-node' : 'cmd');
      const script = path.join(site.lab.folder, 'interpreter.sh');
      writeFileSync(script, COMMAND_INTERPRETER);
      const bare = programs === undefined ? {} : { path: pathWith(site.lab, 'sh-alone', programs) };
      const sshd = await startSshd(press, site.keys, { force: `/bin/sh ${script}`, ...bare });
      const { matrix } = await site.check('--from', `ssh://root@${address}`, '--only-from');
      const [evidence] = matrix.evidence;
      if (trouble === undefined) {
        expect(evidence?.failed).toBeUndefined();
        expect(matrix.endpoints[0]?.verdict).toBe('matches');
      } else expect(evidence?.failed?.reason).toMatch(trouble);
      await sshd.stop();
    },
  );
});
