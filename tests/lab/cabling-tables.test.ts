/**
 * What a run keeps of each switch, against `snmpwalk` on the same agents and the bridge's own `bridge -j fdb`: bridge ports,
 * forwarding rows by BRIDGE-MIB (RFC 4188) and Q-BRIDGE-MIB (RFC 4363), interfaces, LLDP neighbours.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import type { SwitchTables } from '../../src/sighting/types.js';
import {
  buildCabledSite,
  type CabledSite,
  octetsOf,
  octetText,
  SWITCH_ADDRESS,
} from './support/cabled-site.js';
import { SWITCH_NAMES, type SwitchKey } from './support/cabled-site-plan.js';
import { labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal =
  (await labRefusal()) ?? programsRefusal('bridge', 'snmpd', 'snmpwalk', 'lldpd', 'lldpcli', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: switch tables of a run in the lab: ${refusal}`);

const SWITCHES = ['loft', 'a', 'b'] as const;
const BASE_PORT_IF_INDEX = '1.3.6.1.2.1.17.1.4.1.2';
const TP_FDB = '1.3.6.1.2.1.17.4.3.1';
/** dot1qTpFdb in the filtering database 3, which the loft switch has for its VLAN 10. */
const Q_TP_FDB = '1.3.6.1.2.1.17.7.1.2.2.1';
const STATUS = ['', 'other', 'invalid', 'learned', 'self', 'mgmt'];
const REM = '1.0.8802.1.1.2.1.4.1.1';

const mac = (octets: Iterable<number>) =>
  [...octets].map((octet) => octet.toString(16).padStart(2, '0')).join(':');

describe.skipIf(refusal !== undefined)('the switch tables of a run', () => {
  let site: CabledSite;
  let matrix: Matrix;
  const fdbBefore = new Map<SwitchKey, readonly string[]>();

  beforeAll(async () => {
    site = await buildCabledSite({ lldp: 'everybody' });
    await site.lldpHeard({ loft: 4, a: 4, b: 4 });
    await site.learn();
    for (const key of SWITCHES) fdbBefore.set(key, await fdb(key));
    ({ matrix } = await site.check());
  });
  afterAll(() => site?.remove());

  const tablesOf = (key: SwitchKey): SwitchTables => {
    const tables = matrix.evidence[0]?.switches.find((one) => one.switch === SWITCH_NAMES[key]);
    if (tables === undefined) throw new Error(`no tables of ${SWITCH_NAMES[key]}`);
    return tables;
  };
  const walk = (key: SwitchKey, oid: string) => site.walk(SWITCH_ADDRESS[key], oid);
  const index = (oid: string, root: string) =>
    oid
      .slice(root.length + 1)
      .split('.')
      .map(Number);

  async function basePorts(key: SwitchKey): Promise<Map<number, number>> {
    const rows = await walk(key, BASE_PORT_IF_INDEX);
    return new Map(rows.map(([oid, value]) => [index(oid, BASE_PORT_IF_INDEX)[0] ?? 0, Number(value)]));
  }

  /** `MAC ifIndex status` of every row, as the agent tells them. */
  async function fdb(key: SwitchKey): Promise<readonly string[]> {
    const root = key === 'loft' ? Q_TP_FDB : TP_FDB;
    const ports = await basePorts(key);
    const statuses = new Map(
      (await walk(key, `${root}.3`)).map(([oid, value]) => [oid.slice(root.length + 3), value]),
    );
    return (await walk(key, `${root}.2`)).map(([oid, port]) => {
      const row = oid.slice(root.length + 3);
      const octets = row.split('.').map(Number).slice(-6);
      return `${mac(octets)} ${ports.get(Number(port))} ${STATUS[Number(statuses.get(row))]}`;
    });
  }

  it.each(SWITCHES)('maps the bridge ports of %s to interfaces', async (key) => {
    const theirs = await basePorts(key);
    const ours = tablesOf(key).ports.flatMap(({ bridgePort, ifIndex }) =>
      bridgePort === undefined ? [] : [[bridgePort, ifIndex] as const],
    );
    expect(theirs.size).toBeGreaterThanOrEqual(4);
    expect(new Map(ours)).toEqual(theirs);
    // Not the same numbers: a reader that took one for the other would be found out.
    expect([...theirs].every(([port, ifIndex]) => port !== ifIndex)).toBe(true);
  });

  it.each(SWITCHES)('has every forwarding row of %s, and none that the agent does not tell', async (key) => {
    const ours = tablesOf(key).forwarding.map((row) => `${row.mac} ${row.ifIndex} ${row.status}`);
    const after = await fdb(key);
    // A device may speak for the first time in between; none is forgotten within the bridge's 300 s.
    expect(fdbBefore.get(key)?.filter((row) => row.includes('learned')).length).toBeGreaterThanOrEqual(4);
    expect(ours).toEqual(expect.arrayContaining([...(fdbBefore.get(key) ?? [])]));
    expect(after).toEqual(expect.arrayContaining(ours));
    expect(new Set(tablesOf(key).forwarding.map(({ vlan }) => vlan))).toEqual(
      new Set([key === 'loft' ? 10 : undefined]),
    );
  });

  it.each(SWITCHES)('is served what `bridge -j fdb` of %s says', async (key) => {
    const { bridge } = site.switches[key];
    const said = JSON.parse(await site.switches[key].must('bridge', ['-j', 'fdb', 'show', 'br', bridge])) as {
      mac: string;
      ifname: string;
      master?: string;
      state?: string;
    }[];
    const links = JSON.parse(await site.switches[key].must('ip', ['-j', 'link'])) as {
      ifname: string;
      ifindex: number;
    }[];
    const learned = said
      .filter(({ master, state }) => master === bridge && state === '')
      .map((row) => `${row.mac} ${links.find(({ ifname }) => ifname === row.ifname)?.ifindex} learned`);
    expect(learned.length).toBeGreaterThanOrEqual(4);
    expect([...(await fdb(key))].filter((row) => row.endsWith('learned')).sort()).toEqual(learned.sort());
  });

  it.each(SWITCHES)('names the interfaces of %s, with state and speed (IF-MIB)', async (key) => {
    const names = await walk(key, '1.3.6.1.2.1.31.1.1.1.1');
    const speeds = new Map(await walk(key, '1.3.6.1.2.1.31.1.1.1.15'));
    const states = new Map(await walk(key, '1.3.6.1.2.1.2.2.1.8'));
    const theirs = names.map(([oid, name]) => {
      const at = oid.split('.').at(-1);
      return `${at} ${octetText(name)} ${states.get(`1.3.6.1.2.1.2.2.1.8.${at}`) === '1' ? 'up' : 'other'} ${speeds.get(`1.3.6.1.2.1.31.1.1.1.15.${at}`)}`;
    });
    const ours = tablesOf(key)
      .ports.filter(({ name }) => name !== 'lo')
      .map((port) => `${port.ifIndex} ${port.name} ${port.operStatus} ${port.speedMbps}`);
    expect(ours).toEqual(theirs.filter((row) => !row.includes(' lo ')));
  });

  it.each(SWITCHES)('has the LLDP neighbours of %s on their ports', async (key) => {
    const rows = new Map<string, { name?: string; port?: string; chassis?: string }>();
    for (const [column, field] of [
      [5, 'chassis'],
      [7, 'port'],
      [9, 'name'],
    ] as const) {
      const root = `${REM}.${column}`;
      for (const [oid, value] of await walk(key, root)) {
        // The time mark may have moved on since; the other two indexes name the row.
        const [, localPort, remote] = index(oid, root);
        const row = `${localPort} ${remote}`;
        const shown = field === 'name' ? octetText(value) : mac(octetsOf(value));
        rows.set(row, { ...rows.get(row), [field]: shown });
      }
    }
    const theirs = [...rows].map(
      ([row, { name, port, chassis }]) => `${row.split(' ')[0]} ${name} ${port} ${chassis}`,
    );
    const ours = tablesOf(key).neighbours.map(
      (one) => `${one.localIfIndex} ${one.sysName} ${one.portId} ${one.chassisId}`,
    );
    expect(theirs.length).toBeGreaterThanOrEqual(4);
    expect([...ours].sort()).toEqual(theirs.sort());
  });
});
