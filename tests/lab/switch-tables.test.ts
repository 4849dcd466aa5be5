/** A switch's LLDP neighbours as a real lldpd and snmpd serve them, held against `snmpwalk` and `lldpcli` on the same switch. */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { SwitchTables } from '../../src/sighting/types.js';
import { Lab, type LabHost, type LabSwitch, labRefusal, PROJECT } from './support/lab.js';
import { must } from './support/run.js';
import { programsRefusal, startSnmpd } from './support/services.js';
import { startLldpd } from './support/switch-agent.js';

const refusal = (await labRefusal()) ?? programsRefusal('snmpd', 'snmpwalk', 'lldpd', 'lldpcli');
if (refusal !== undefined) console.warn(`SKIPPED: switch tables from lldpd and snmpd: ${refusal}`);

const SWITCH = '192.0.2.250';
const COMMUNITY = 'lab-read';
/** lldpRemSysName and lldpRemPortId of LLDP-MIB (2005). */
const REM_SYS_NAME = '1.0.8802.1.1.2.1.4.1.1.9';

describe.skipIf(refusal !== undefined)('readSwitchTables in the lab', () => {
  const built = path.join(PROJECT, 'node_modules', '.cache', `matchmark-switch-${process.pid}`);
  let lab: Lab;
  let bench: LabSwitch;
  let laptop: LabHost;

  beforeAll(async () => {
    mkdirSync(built, { recursive: true });
    writeFileSync(path.join(built, 'package.json'), '{"type":"module"}');
    await must(path.join(PROJECT, 'node_modules', '.bin', 'tsc'), [
      ...['-p', path.join(PROJECT, 'tsconfig.json'), '--noCheck', '--noEmit', 'false'],
      ...['--rootDir', PROJECT, '--outDir', built],
    ]);
    lab = new Lab();
    bench = await lab.addSwitch('loft-switch');
    await bench.must('ip', ['address', 'add', `${SWITCH}/24`, 'dev', bench.bridge]);
    laptop = await lab.addHost('laptop', [{ switch: bench, name: 'eth0', addresses: ['192.0.2.5/24'] }]);
    const agentx = path.join(lab.folder, 'agentx');
    const hosts: LabHost[] = [];
    for (const [name, mac] of [
      ['vault-1-a', '00:00:5e:00:53:11'],
      ['vault-1-b', '00:00:5e:00:53:12'],
    ] as const) {
      const host = await lab.addHost(name, [
        { switch: bench, name: 'mgmt', port: `to-${name}`, mac, addresses: [`192.0.2.${mac.slice(-2)}/24`] },
      ]);
      hosts.push(host);
    }
    await startSnmpd(bench, { sysName: 'loft-switch', agentx });
    // On the ports alone: the bridge itself would hear some neighbours in their place.
    await startLldpd(bench, ['-x', '-X', agentx, '-I', 'to-*']);
    for (const host of hosts) await startLldpd(host);
    await served(hosts);
  });
  afterAll(async () => {
    await lab?.remove();
    rmSync(built, { recursive: true, force: true });
  });

  const walk = async (oid: string) =>
    (
      await laptop.must('snmpwalk', ['-v2c', '-c', COMMUNITY, '-On', '-OQ', SWITCH, oid], {
        env: { MIBS: '' },
      })
    )
      .split('\n')
      .filter((line) => line.startsWith(`.${oid}.`));

  /** lldpd needs a moment to hear its neighbours. */
  async function served(hosts: readonly LabHost[]): Promise<void> {
    for (let tries = 0; tries < 100; tries += 1) {
      // The bridge itself hears some of them too: each host has to stand on its own port.
      const heard =
        (await walk(REM_SYS_NAME).catch(() => [])).length >= hosts.length ? await read() : undefined;
      const ports = new Set(heard?.neighbours.map(({ localPort }) => localPort));
      if (hosts.every(({ name }) => ports.has(`to-${name}`))) return;
      await new Promise((resolve) => setTimeout(resolve, 500));
    }
    throw new Error('the switch heard no neighbours');
  }

  async function read(): Promise<SwitchTables> {
    const script = fileURLToPath(new URL('switch-reader.mjs', import.meta.url));
    return JSON.parse(
      await laptop.must(process.execPath, [script, built, SWITCH, COMMUNITY]),
    ) as SwitchTables;
  }

  it('tells each neighbour on the port it hangs on', async () => {
    const tables = await read();
    expect(tables.truncated).toBeUndefined();
    const byPort = new Map(tables.neighbours.map((neighbour) => [neighbour.localPort, neighbour]));
    for (const [port, mac] of [
      ['to-vault-1-a', '00:00:5e:00:53:11'],
      ['to-vault-1-b', '00:00:5e:00:53:12'],
    ] as const) {
      const ifIndex = Number(await bench.must('cat', [`/sys/class/net/${port}/ifindex`]));
      expect(byPort.get(port)).toMatchObject({
        localIfIndex: ifIndex,
        portId: mac,
        portIdSubtype: 'macAddress',
        sysDescription: `${port.slice(3)}, example equipment`,
        managementAddresses: expect.arrayContaining([`192.0.2.${mac.slice(-2)}`]),
      });
    }
    expect(tables.neighbours.map(({ sysName }) => sysName).sort()).toEqual(
      (await walk(REM_SYS_NAME)).map((line) => line.replace(/^.*? = "?|"$/g, '')).sort(),
    );
  });

  it('names the ports as the system does, with their own addresses', async () => {
    const tables = await read();
    const links = JSON.parse(await bench.must('ip', ['-j', 'link'])) as readonly {
      ifindex: number;
      ifname: string;
      address: string;
    }[];
    for (const { ifindex, ifname, address } of links) {
      const port = tables.ports.find((one) => one.ifIndex === ifindex);
      expect(port?.name).toBe(ifname);
      if (address !== '00:00:00:00:00:00') expect(tables.ownMacs).toContain(address);
    }
  });
});
