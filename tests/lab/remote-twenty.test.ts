/** `check --from` twenty places at once, some of which are dead, lie or hang. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { labRefusal } from './support/lab.js';
import { BARE, buildRemoteSite, type RemoteSite, VAULT_MAC, verdictsOf } from './support/remote-site.js';
import { programsRefusal } from './support/services.js';
import { pathWith, startSshd } from './support/ssh.js';

const refusal =
  (await labRefusal()) ?? programsRefusal('ping', 'ssh', 'sshd', 'ssh-keygen', 'bash', 'timeout');
if (refusal !== undefined) console.warn(`SKIPPED: looking from elsewhere in the lab: ${refusal}`);

describe.skipIf(refusal !== undefined)('looking from many hosts', () => {
  let site: RemoteSite;
  beforeAll(async () => {
    site = await buildRemoteSite();
  });
  afterAll(() => site?.lab.remove());

  it('twenty places in one run, three of them dead, one that sends garbage and one that hangs', async () => {
    const places: string[] = [];
    const running = [];
    const outcome = new Map<string, RegExp | undefined>();
    const garbage = path.join(site.lab.folder, 'garbage.sh');
    writeFileSync(garbage, 'while :; do echo "\\033]0;owned\\007 <script>"; done\n');
    for (let index = 0; index < 20; index += 1) {
      const { host: place, mgmt: address } = await site.addHost(`place-${index}`);
      places.push('--from', `ssh://root@${address}`);
      // Dead: nobody listens, nobody is there, an unknown host key.
      if (index === 3) outcome.set(address, /takes no SSH connection/);
      else if (index === 4) {
        await place.linkUp('eth0', false);
        outcome.set(address, /takes no SSH connection/);
      } else if (index === 5) {
        running.push(await startSshd(place, site.keys, { hostKey: site.keys.user }));
        outcome.set(address, /host key/);
      } else if (index === 6) {
        running.push(await startSshd(place, site.keys, { force: `sh ${garbage}` }));
        outcome.set(address, /cannot be read|more than is read/);
      } else if (index === 7) {
        running.push(await startSshd(place, site.keys, { force: 'sleep 300' }));
        outcome.set(address, /said nothing for too long/);
      } else {
        const bare = index % 6 === 2 ? { path: pathWith(site.lab, 'bare', BARE) } : {};
        running.push(await startSshd(place, site.keys, bare));
        outcome.set(address, undefined);
      }
    }
    const beganMs = Date.now();
    const { ran, matrix } = await site.check(...places);
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
      expect(seen.map(({ macs }) => macs)).toEqual(trouble === undefined ? [[VAULT_MAC]] : []);
    }
    expect(verdictsOf(matrix)).toEqual([
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
