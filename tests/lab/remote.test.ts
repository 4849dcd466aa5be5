import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { Lab, type LabHost, labRefusal, PROJECT } from './support/lab.js';
import type { Ran } from './support/run.js';
import { programsRefusal, startEquipment } from './support/services.js';
import { makeSshKeys, pathWith, type SshKeys, startSshd } from './support/ssh.js';

const refusal =
  (await labRefusal()) ?? programsRefusal('ping', 'ssh', 'sshd', 'ssh-keygen', 'bash', 'timeout');
if (refusal !== undefined) console.warn(`SKIPPED: looking from elsewhere in the lab: ${refusal}`);

/** What a POSIX host has without Node. */
const BARE = ['sh', 'bash', 'ip', 'ping', 'timeout', 'sed', 'fold', 'sleep', 'cat', 'uname', 'date'];

/** A laptop on the management network; hosts on it and on a data network, on which a vault has two ports. */
describe.skipIf(refusal !== undefined)('looking from hosts that the laptop reaches by SSH', () => {
  let lab: Lab;
  let laptop: LabHost;
  let keys: SshKeys;
  let hosts = 10;
  const switches = () => Promise.all([lab.addSwitch('mgmt-switch'), lab.addSwitch('data-switch')]);
  let net: Awaited<ReturnType<typeof switches>>;
  const host = async (name: string): Promise<LabHost> => {
    hosts += 1;
    return lab.addHost(name, [
      { switch: net[0], name: 'eth0', addresses: [`192.0.2.${hosts}/24`] },
      { switch: net[1], name: 'eth1', mtu: 9000, addresses: [`198.51.100.${hosts}/25`] },
    ]);
  };
  beforeAll(async () => {
    lab = new Lab();
    net = await switches();
    keys = await makeSshKeys(lab);
    const vault = await lab.addHost('vault-1', [
      {
        switch: net[1],
        name: 'data0',
        mac: '00:00:5e:00:53:12',
        mtu: 9000,
        addresses: ['198.51.100.101/25'],
      },
      {
        switch: net[1],
        name: 'data1',
        mac: '00:00:5e:00:53:13',
        mtu: 1500,
        addresses: ['198.51.100.102/25'],
      },
    ]);
    // Two ports in one network: each answers for itself alone.
    await vault.must('sysctl', ['-qw', 'net.ipv4.conf.all.arp_ignore=1', 'net.ipv4.conf.all.arp_announce=2']);
    await startEquipment(vault, {
      web: [],
      lines: [{ port: 22, line: 'SSH-2.0-Example_1.0' }],
      open: [3260],
    });
    laptop = await lab.addHost('laptop', [{ switch: net[0], name: 'eth0', addresses: ['192.0.2.5/24'] }]);
    writeFileSync(
      path.join(lab.folder, 'list.csv'),
      [
        'device,controller,port,role,network,address,mtu,services',
        'vault-1,A,data0,data,data-a,198.51.100.101/25,9000,ssh tcp/3260',
        'vault-1,B,data1,data,data-a,198.51.100.102/25,9000,ssh tcp/3260',
        'vault-1,B,data2,data,data-a,198.51.100.103/25,9000,tcp/3260',
        '',
      ].join('\r\n'),
    );
  });
  afterAll(() => lab?.remove());

  async function check(...argv: string[]): Promise<{ ran: Ran; matrix: Matrix }> {
    const out = path.join(lab.folder, `out-${Math.random().toString(36).slice(2)}`);
    const ran = await laptop.matchmark(
      [
        'check',
        ...(argv[0]?.endsWith('.yaml') ? [] : [path.join(lab.folder, 'list.csv')]),
        ...argv,
        '--json',
        '--out',
        out,
      ],
      { env: { PATH: `${keys.bin}:${process.env.PATH}` }, timeoutMs: 170_000 },
    );
    if (ran.stdout === '') throw new Error(`no result: exit ${ran.exitCode}: ${ran.stderr}`);
    return { ran, matrix: JSON.parse(ran.stdout) as Matrix };
  }
  const verdicts = ({ endpoints }: Matrix) => endpoints.map(({ id, verdict }) => `${id} ${verdict}`);

  it('a host with Node proves what the laptop cannot see, and nothing of it stays there', async () => {
    const press = await host('press-1');
    const sshd = await startSshd(press, keys);
    const before = await press.running();
    const alone = await check('--no-from');
    expect(verdicts(alone.matrix).every((each) => each.endsWith('unproven'))).toBe(true);
    const { matrix, ran } = await check('--from', 'ssh://root@192.0.2.11');
    expect(ran.stderr).toContain('192.0.2.11 is done');
    expect(verdicts(matrix)).toEqual([
      'vault-1/A/data0 matches',
      'vault-1/B/data1 differs',
      'vault-1/B/data2 missing',
    ]);
    expect(matrix.vantages.map(({ name }) => name)).toContain('192.0.2.11');
    expect(matrix.evidence.find(({ vantage }) => vantage.name === '192.0.2.11')?.vantage.from).toBe(
      'ssh://root@192.0.2.11',
    );
    const mtu = matrix.endpoints[1]?.facts.find(({ fact }) => fact === 'mtu');
    expect(mtu).toMatchObject({ state: 'differs', vantage: '192.0.2.11' });
    await vi.waitFor(async () => expect(await press.running()).toEqual(before), {
      timeout: 10_000,
      interval: 500,
    });
    await sshd.stop();
  });

  it('a host without Node is asked by its shell, and what that cannot ask is said so', async () => {
    const press = await host('press-bare');
    const sshd = await startSshd(press, keys, { path: pathWith(lab, 'bare', BARE) });
    const { matrix, ran } = await check('--from', `ssh://root@192.0.2.${hosts}`);
    expect(ran.stderr).toContain(`192.0.2.${hosts} is done`);
    const [data0, data1, data2] = matrix.endpoints;
    const [seen] = data0?.sightings.filter(({ vantage }) => vantage === `192.0.2.${hosts}`) ?? [];
    expect(seen).toMatchObject({
      reach: 'on-link',
      macs: ['00:00:5e:00:53:12'],
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
      ['tcp/3260 on tcp port 3260', 'matches'],
    ]);
    expect(data1?.facts.find(({ fact }) => fact === 'mtu')).toMatchObject({ state: 'differs' });
    expect(data2?.verdict).toBe('missing');
    await sshd.stop();
  });

  it('a run that was cut off is gone on with from the same places, without naming them again', async () => {
    const press = await host('press-resumed');
    const address = `192.0.2.${hosts}`;
    const sshd = await startSshd(press, keys);
    const out = path.join(lab.folder, 'cut-off');
    const env = { PATH: `${keys.bin}:${process.env.PATH}` };
    const list = path.join(lab.folder, 'list.csv');
    const running = laptop.start(
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
    const ran = await laptop.matchmark(['check', '--resume', out, '--json'], { env, timeoutMs: 170_000 });
    expect(ran.stderr).toContain(`Looking from ${address} as well (ssh://root@${address}).`);
    const matrix = JSON.parse(ran.stdout) as Matrix;
    expect(matrix.run.complete).toBe(true);
    expect(verdicts(matrix)).toEqual([
      'vault-1/A/data0 matches',
      'vault-1/B/data1 differs',
      'vault-1/B/data2 missing',
    ]);
    await sshd.stop();
  });

  it.each([
    ['with Node', undefined],
    ['with a shell alone', BARE],
  ])('a host %s and two ports in one network is looked from by each', async (_what, programs) => {
    const press = await host('press-two');
    const address = `192.0.2.${hosts}`;
    await lab.cable(press, {
      switch: net[1],
      name: 'eth2',
      mtu: 1500,
      addresses: [`198.51.100.${hosts + 50}/25`],
    });
    const bare = programs === undefined ? {} : { path: pathWith(lab, 'bare', programs) };
    const sshd = await startSshd(press, keys, bare);
    const { matrix } = await check('--from', `ssh://root@${address}`, '--only-from');
    expect(matrix.vantages.map(({ name }) => name)).toEqual([
      address,
      `${address} (eth1)`,
      `${address} (eth2)`,
    ]);
    const by = (port: string) =>
      matrix.endpoints[0]?.sightings.find(({ vantage }) => vantage === `${address} (${port})`);
    const there = { macs: ['00:00:5e:00:53:12'], icmp: { outcome: 'replied' } };
    expect(by('eth1')).toMatchObject({ ...there, mtu: { outcome: 'passes', mtu: 9000 } });
    expect(by('eth2')).toMatchObject({ ...there, mtu: { outcome: 'smaller', mtu: 1500 } });
    expect(by('eth2')?.tcp.map(({ outcome }) => outcome)).toEqual(['not-run', 'not-run']);
    await sshd.stop();
  });

  it.each([
    ['both its ports in the data switch: every pair was asked over its own port', 1, 'redundant'],
    ['one of its ports in the wrong switch: the pairs over it do not work', 0, 'at-risk'],
  ] as const)('a host of the plan with %s', async (_what, second, verdict) => {
    const name = `pair-${second}`;
    const press = await host(name);
    const [mgmt, first, other] = [`192.0.2.${hosts}`, `198.51.100.${hosts}`, `198.51.100.${hosts + 50}`];
    await lab.cable(press, { switch: net[second], name: 'eth2', mtu: 9000, addresses: [`${other}/25`] });
    const sshd = await startSshd(press, keys);
    const file = path.join(lab.folder, `${name}.yaml`);
    writeFileSync(
      file,
      [
        'plan: 1',
        'site: { name: Harbour Library }',
        'networks: [{ name: data-a, cidr: 198.51.100.0/25 }]',
        'endpoints:',
        `  - { device: ${name}, port: nic0, role: host, network: data-a, address: ${first} }`,
        `  - { device: ${name}, port: nic1, role: host, network: data-a, address: ${other} }`,
        '  - { device: vault-1, controller: A, port: data0, role: data, network: data-a, address: 198.51.100.101, services: tcp/3260, group: vault-1 data }',
        '  - { device: vault-1, controller: B, port: data1, role: data, network: data-a, address: 198.51.100.102, services: tcp/3260, group: vault-1 data }',
        'groups:',
        '  - { name: vault-1 data, need: 1, independent: [controller] }',
        '  - { name: way, from: ' +
          name +
          ', to: vault-1 data, need: 1, independent: [host-port, controller] }',
        `vantages: [{ name: ${name}, ssh: "ssh://root@${mgmt}" }]`,
        '',
      ].join('\n'),
    );
    const { matrix } = await check(file, '--only-from');
    const way = matrix.groups.find((group) => group.name === 'way');
    const over = Object.fromEntries(way?.paths.map((one) => [one.id, `${one.state} by ${one.over}`]) ?? []);
    const worked = second === 1 ? 'live' : 'dead';
    expect(over).toEqual({
      [`${name}/nic0 -> vault-1/A/data0`]: `live by ${name} (eth1)`,
      [`${name}/nic0 -> vault-1/B/data1`]: `live by ${name} (eth1)`,
      [`${name}/nic1 -> vault-1/A/data0`]: `${worked} by ${name} (eth2)`,
      [`${name}/nic1 -> vault-1/B/data1`]: `${worked} by ${name} (eth2)`,
    });
    expect(way?.verdict).toBe(verdict);
    // The host is where it should be: nobody is told that it sits on a planned address.
    expect(matrix.findings.map(({ code }) => code)).not.toContain('own-address-planned');
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
      const press = await host(`press-cmd-${hosts}`);
      const address = `192.0.2.${hosts}`;
      const script = path.join(lab.folder, 'interpreter.sh');
      writeFileSync(script, COMMAND_INTERPRETER);
      const bare = programs === undefined ? {} : { path: pathWith(lab, 'sh-alone', programs) };
      const sshd = await startSshd(press, keys, { force: `/bin/sh ${script}`, ...bare });
      const { matrix } = await check('--from', `ssh://root@${address}`, '--only-from');
      const [evidence] = matrix.evidence;
      if (trouble === undefined) {
        expect(evidence?.failed).toBeUndefined();
        expect(matrix.endpoints[0]?.verdict).toBe('matches');
      } else expect(evidence?.failed?.reason).toMatch(trouble);
      await sshd.stop();
    },
  );

  it('twenty places in one run, three of them dead, one that sends garbage and one that hangs', async () => {
    const places: string[] = [];
    const running = [];
    const outcome = new Map<string, RegExp | undefined>();
    const garbage = path.join(lab.folder, 'garbage.sh');
    writeFileSync(garbage, 'while :; do echo "\\033]0;owned\\007 <script>"; done\n');
    for (let index = 0; index < 20; index += 1) {
      const place = await host(`place-${index}`);
      const address = `192.0.2.${hosts}`;
      places.push('--from', `ssh://root@${address}`);
      // Dead: nobody listens, nobody is there, an unknown host key.
      if (index === 3) outcome.set(address, /takes no SSH connection/);
      else if (index === 4) {
        await place.linkUp('eth0', false);
        outcome.set(address, /takes no SSH connection/);
      } else if (index === 5) {
        running.push(await startSshd(place, keys, { hostKey: keys.user }));
        outcome.set(address, /host key/);
      } else if (index === 6) {
        running.push(await startSshd(place, keys, { force: `sh ${garbage}` }));
        outcome.set(address, /cannot be read|more than is read/);
      } else if (index === 7) {
        running.push(await startSshd(place, keys, { force: 'sleep 300' }));
        outcome.set(address, /said nothing for too long/);
      } else {
        const bare = index % 6 === 2 ? { path: pathWith(lab, 'bare', BARE) } : {};
        running.push(await startSshd(place, keys, bare));
        outcome.set(address, undefined);
      }
    }
    const beganMs = Date.now();
    const { ran, matrix } = await check(...places);
    const tookMs = Date.now() - beganMs;
    console.warn(`twenty places took ${tookMs} ms`);
    for (const [address, trouble] of outcome) {
      const evidence = matrix.evidence.find(({ vantage }) => vantage.name === address);
      expect(evidence?.failed === undefined, `${address}: ${evidence?.failed?.reason}`).toBe(
        trouble === undefined,
      );
      if (trouble !== undefined) expect(evidence?.failed).toMatchObject({ cause: 'vantage-failed' });
      if (trouble !== undefined) expect(evidence?.failed?.reason).toMatch(trouble);
      const seen = matrix.endpoints[0]?.sightings.filter(({ vantage }) => vantage === address) ?? [];
      expect(seen.map(({ macs }) => macs)).toEqual(trouble === undefined ? [['00:00:5e:00:53:12']] : []);
    }
    expect(verdicts(matrix)).toEqual([
      'vault-1/A/data0 matches',
      'vault-1/B/data1 differs',
      'vault-1/B/data2 missing',
    ]);
    expect(matrix.vantages).toHaveLength(16);
    expect(ran.stdout + ran.stderr).not.toContain('\u001b]0;');
    expect(matrix.run.complete).toBe(true);
    expect(ran.exitCode).toBe(1);
    await Promise.all(running.map((one) => one.stop()));
  });
});
