/** `check --from` a host with two ports in one network: it looks by each of them. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { labRefusal } from './support/lab.js';
import { BARE, buildRemoteSite, type RemoteSite, VAULT_MAC } from './support/remote-site.js';
import { programsRefusal } from './support/services.js';
import { pathWith, startSshd } from './support/ssh.js';

const refusal =
  (await labRefusal()) ?? programsRefusal('ping', 'ssh', 'sshd', 'ssh-keygen', 'bash', 'timeout');
if (refusal !== undefined) console.warn(`SKIPPED: looking from elsewhere in the lab: ${refusal}`);

describe.skipIf(refusal !== undefined)('looking by each port of a host', () => {
  let site: RemoteSite;
  beforeAll(async () => {
    site = await buildRemoteSite();
  });
  afterAll(() => site?.lab.remove());

  it.each([
    ['with Node', undefined],
    ['with a shell alone', BARE],
  ])('a host %s and two ports in one network is looked from by each', async (_what, programs) => {
    const { host: press, mgmt: address, second } = await site.addHost('press-two');
    await site.lab.cable(press, {
      switch: site.switches[1],
      name: 'eth2',
      mtu: 1500,
      addresses: [`${second}/25`],
    });
    const bare = programs === undefined ? {} : { path: pathWith(site.lab, 'bare', programs) };
    const sshd = await startSshd(press, site.keys, bare);
    const { matrix } = await site.check('--from', `ssh://root@${address}`, '--only-from');
    expect(matrix.vantages.map(({ name }) => name)).toEqual([
      address,
      `${address} (eth1)`,
      `${address} (eth2)`,
    ]);
    const by = (port: string) =>
      matrix.endpoints[0]?.sightings.find(({ vantage }) => vantage === `${address} (${port})`);
    const there = { macs: [VAULT_MAC], icmp: { outcome: 'replied' } };
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
    const { host: press, mgmt, data: first, second: other } = await site.addHost(name);
    await site.lab.cable(press, {
      switch: site.switches[second],
      name: 'eth2',
      mtu: 9000,
      addresses: [`${other}/25`],
    });
    const sshd = await startSshd(press, site.keys);
    const file = path.join(site.lab.folder, `${name}.yaml`);
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
    const { matrix } = await site.check(file, '--only-from');
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
});
