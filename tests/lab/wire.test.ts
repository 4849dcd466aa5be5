/**
 * Who is really on the wire, by the whole program: each fault by capture, by arping and by the neighbour table alone, and what a
 * way can not find is said with its mend (DESIGN 6). Two answers to one question: RFC 5227 §2.4; neighbour discovery: RFC 4861 §7.2.
 */
import { copyFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { EndpointResult, Matrix } from '../../src/matrix/matrix.js';
import type { Survey } from '../../src/matrix/survey.js';
import { responderRefusal } from './presence-runner.js';
import { type Lab, type LabHost, labRefusal, PROJECT } from './support/lab.js';
import { must } from './support/run.js';
import { programsRefusal } from './support/services.js';
import { BEHIND, buildProxySite, NEAR, NOWHERE, type ProxySite, ROUTER_MAC } from './support/wire-proxy.js';
import { buildWireSite, startLldp, type WireSite } from './support/wire-site.js';
import { AT, LAPTOP, mac, routerMac, STRANGERS, SWAPPED } from './support/wire-site-plan.js';
import { type Lacking, pathWithout } from './support/without.js';

const refusal =
  (await labRefusal()) ??
  (await responderRefusal()) ??
  programsRefusal('tcpdump', 'arping', 'snmpd', 'openssl', 'ping', 'sysctl', 'setpriv', 'setcap');
if (refusal !== undefined) console.warn(`SKIPPED: who is on the wire, in the lab: ${refusal}`);

interface Way {
  readonly lacking: readonly Lacking[];
  /**
   * `nobody` can not even run a program with a file capability; `user` can, as on a desktop where arping has one;
   * `captor` is a user for whom tcpdump was given its rights with setcap, as `matchmark kit` says.
   */
  readonly as?: 'nobody' | 'user' | 'captor';
  /** Duplicates that this way must find, and how sure it is of them. */
  readonly finds: Readonly<Partial<Record<'both' | 'late' | 'turns' | 'six-both', 'proven' | 'likely'>>>;
  /** One that it either finds, as likely, or says to be open. */
  readonly mayFind?: 'turns';
  /** Endpoints of which it must say that a second device could not be excluded. */
  readonly open: readonly string[];
}

const WAYS: readonly [string, Way][] = [
  [
    'by capture',
    {
      lacking: ['arping'],
      finds: { both: 'proven', late: 'proven', turns: 'proven', 'six-both': 'proven' },
      open: [],
    },
  ],
  [
    'by arping',
    {
      lacking: ['tcpdump', 'dumpcap'],
      finds: { both: 'proven', late: 'proven', turns: 'proven' },
      open: ['six-both', 'six-there'],
    },
  ],
  [
    'by the neighbour table alone, as root',
    {
      lacking: ['tcpdump', 'dumpcap', 'arping'],
      finds: {},
      // Where the table can be cleared, each question is put anew, and devices that take turns most often change its row.
      mayFind: 'turns',
      open: ['alone', 'both', 'late', 'six-both', 'six-there'],
    },
  ],
  [
    'by the neighbour table alone, without rights',
    {
      lacking: ['tcpdump', 'dumpcap', 'arping'],
      as: 'nobody',
      finds: {},
      open: ['alone', 'both', 'late', 'turns', 'six-both', 'six-there'],
    },
  ],
  [
    'by arping, without rights',
    {
      lacking: ['tcpdump', 'dumpcap'],
      as: 'user',
      finds: { both: 'proven', late: 'proven', turns: 'proven' },
      open: ['six-both', 'six-there'],
    },
  ],
  [
    'by capture, without rights',
    {
      lacking: ['arping', 'dumpcap'],
      as: 'captor',
      // The table can not be cleared, so the kernel puts one question, and of devices that take turns one answers.
      finds: { both: 'proven', late: 'proven', 'six-both': 'proven' },
      open: [],
    },
  ],
];

const CLAIMANTS: Readonly<Record<string, readonly [string, string]>> = {
  both: [mac(0x61), mac(0x62)],
  late: [mac(0x63), mac(0x66)],
  turns: [mac(0x67), mac(0x68)],
  'six-both': [mac(0x61), mac(0x62)],
};

interface Ran<Result> {
  readonly result: Result;
  readonly exitCode: number | null;
}

async function matchmark<Result>(
  { lab, laptop }: { readonly lab: Lab; readonly laptop: LabHost },
  args: readonly string[],
  { lacking = [], as }: Partial<Pick<Way, 'lacking' | 'as'>> = {},
): Promise<Ran<Result>> {
  const out = path.join(lab.folder, `out-${as ?? 'root'}`);
  const line = [...args, '--json', '--out', out, '--vantage', 'laptop'];
  const env = { PATH: await programsOf(lab, lacking, as), SITE_SNMP: 'lab-read' };
  const ran =
    as === 'user' || as === 'captor'
      ? await laptop.exec('/usr/bin/setpriv', [...USER, process.execPath, PROGRAM, ...line], { env })
      : await laptop.matchmark(line, { asNobody: as === 'nobody', env });
  if (ran.stdout === '') throw new Error(`exit ${ran.exitCode}: ${ran.stderr}`);
  return { result: JSON.parse(ran.stdout) as Result, exitCode: ran.exitCode };
}

const USER = ['--reuid=65534', '--regid=65534', '--clear-groups'];
const PROGRAM = path.join(PROJECT, 'bin/matchmark.js');

async function programsOf(lab: Lab, lacking: readonly Lacking[], as: Way['as']): Promise<string> {
  const folder = pathWithout(lab, ...lacking);
  const own = (program: string, from: string): string => {
    const to = path.join(folder, program);
    rmSync(to, { force: true });
    copyFileSync(from, to);
    return to;
  };
  // A copy has no file capability: this ping uses the kernel's echo socket, which needs no right (icmp(7), ping_group_range).
  own('ping', '/usr/bin/ping');
  if (as === 'user') await must('setcap', ['cap_net_raw+ep', own('arping', '/usr/bin/arping')]);
  if (as === 'captor')
    await must('setcap', ['cap_net_raw,cap_net_admin+ep', own('tcpdump', '/usr/bin/tcpdump')]);
  return folder;
}

const found = (matrix: Pick<Matrix, 'findings'>, code: string): string[] =>
  matrix.findings
    .filter((finding) => finding.code === code)
    .map(({ subject }) => subject)
    .sort();

function endpointOf(matrix: Matrix, id: string): EndpointResult {
  const endpoint = matrix.endpoints.find((each) => each.id === id);
  if (endpoint === undefined) throw new Error(`no endpoint ${id}`);
  return endpoint;
}

describe.skipIf(refusal !== undefined)('matchmark check on a bench of wrong claimants', () => {
  let site: WireSite;
  beforeAll(async () => {
    site = await buildWireSite();
  });
  afterAll(() => site?.lab.remove());

  describe.each(WAYS)('%s', (_name, way) => {
    let matrix: Matrix;
    let exitCode: number | null;
    beforeAll(async () => {
      const { laptop, dead } = site;
      // Boxes asked in an earlier run ask back within 5 s (RFC 4861 §10), and by that the laptop would know them unasked (RFC 826).
      if (way.as === 'captor') await new Promise((resolve) => setTimeout(resolve, 9000));
      await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
      // One device went dark this moment and left a fresh row, one long ago and left a stale row.
      await dead.linkUp('eth0', true);
      await laptop.must('ping', ['-c', '1', '-W', '5', AT.dead]);
      await dead.linkUp('eth0', false);
      const row = [AT.gone, 'lladdr', mac(0x6a), 'dev', 'eth0', 'nud', 'stale'];
      await laptop.must('ip', ['neigh', 'replace', ...row]);
      ({ result: matrix, exitCode } = await matchmark<Matrix>(site, ['check', site.planFile], way));
    });

    it('stops at every address with two devices that it can see, with both MACs', () => {
      expect(exitCode).toBe(1);
      const luck = found(matrix, 'duplicate-address').includes(`${way.mayFind}/mgmt`)
        ? way.mayFind
        : undefined;
      const finds = { ...way.finds, ...(luck === undefined ? {} : { [luck]: 'likely' }) };
      expect(found(matrix, 'duplicate-address')).toEqual(
        Object.keys(finds)
          .map((name) => `${name}/mgmt`)
          .sort(),
      );
      for (const [name, sure] of Object.entries(finds)) {
        const finding = matrix.findings.find(
          ({ code, subject }) => code === 'duplicate-address' && subject === `${name}/mgmt`,
        );
        expect(finding).toMatchObject({ severity: 'stop' });
        for (const claimant of CLAIMANTS[name] ?? []) expect(finding?.message).toContain(claimant);
        expect(finding?.message).toContain(sure === 'proven' ? 'this is proven' : 'likely, not proven');
        expect(endpointOf(matrix, `${name}/mgmt`).verdict).toBe('differs');
      }
    });

    it('says of every other address what could not be excluded, and the mend', () => {
      const open = matrix.endpoints
        .filter(({ reasons }) =>
          reasons.some((reason) => /second device .* could not be excluded/.test(reason)),
        )
        .map(({ id }) => id);
      for (const name of way.open) expect(open).toContain(`${name}/mgmt`);
      if (way.open.length === 0) expect(open.filter((id) => id !== 'desk/mgmt')).toEqual([]);
      for (const id of open) {
        const reasons = endpointOf(matrix, id).reasons.join(' ');
        expect(reasons).toMatch(/Install (tcpdump|arping)/);
        // arping speaks IPv4 alone: it fixes nothing of an IPv6 address.
        if (id.startsWith('six-')) expect(reasons).not.toContain('arping');
      }
      for (const name of Object.keys(way.finds)) expect(open).not.toContain(`${name}/mgmt`);
      const byLuck = `${way.mayFind}/mgmt`;
      if (way.mayFind !== undefined)
        expect(open.includes(byLuck)).toBe(!found(matrix, 'duplicate-address').includes(byLuck));
    });

    it('finds nothing wrong with virtual routers, a pair that moves its address, and devices alone on theirs', () => {
      for (const id of [
        'router/mgmt',
        'relayed/mgmt',
        'pair/service',
        'pair/A/mgmt',
        'pair/B/mgmt',
        'alone/mgmt',
      ]) {
        expect(endpointOf(matrix, id)).toMatchObject({ id, verdict: 'matches' });
        expect(
          matrix.findings.filter(({ subject, severity }) => subject === id && severity !== 'note'),
        ).toEqual([]);
      }
      expect(matrix.strangers).toEqual([]);
      if (way.lacking.includes('arping') && !way.lacking.includes('tcpdump'))
        expect(endpointOf(matrix, 'relayed/mgmt').reasons).toContain(
          `${routerMac(11)} is a virtual router's MAC, held by ${mac(0x69)}`,
        );
    });

    it.each(Object.keys(SWAPPED))('names A and B as swapped: %s', (device) => {
      for (const [here, there] of ['AB', 'BA'].map((pair) => [...pair])) {
        const id = `${device}/${here}/mgmt`;
        expect(endpointOf(matrix, id).verdict).toBe('differs');
        const finding = matrix.findings.find(
          ({ code, subject }) => code === 'wrong-device' && subject === id,
        );
        expect(finding).toMatchObject({ severity: 'stop' });
        expect(finding?.message).toContain(`${id} and ${device}/${there}/mgmt are swapped`);
      }
    });

    it('calls no other device a wrong one', () => {
      expect(found(matrix, 'wrong-device')).toEqual(
        Object.keys(SWAPPED)
          .flatMap((device) => [`${device}/A/mgmt`, `${device}/B/mgmt`])
          .sort(),
      );
    });

    it("does not take the laptop's own answers for the device whose address it has", () => {
      expect(endpointOf(matrix, 'desk/mgmt').verdict).toBe('unproven');
      expect(found(matrix, 'own-address-planned')).toEqual(['desk/mgmt']);
      expect(endpointOf(matrix, 'desk/mgmt').reasons.join(' ')).toContain(LAPTOP);
    });

    it('says that a planned address is the gateway', () => {
      expect(found(matrix, 'address-is-gateway')).toEqual(['edge/mgmt']);
      expect(endpointOf(matrix, 'edge/mgmt').verdict).toBe('matches');
    });

    it('is not fooled by what devices now dark left in the neighbour table', () => {
      // Where the kernel goes on using the fresh row, the echo that it lets through is what stays unanswered.
      for (const name of ['dead', 'gone', 'six-missing'])
        expect(endpointOf(matrix, `${name}/mgmt`)).toMatchObject({ id: `${name}/mgmt`, verdict: 'missing' });
      expect(found(matrix, 'endpoint-missing')).toEqual(['dead/mgmt', 'gone/mgmt', 'six-missing/mgmt']);
    });

    it('tells the present from the missing in IPv6', () => {
      expect(endpointOf(matrix, 'six-there/mgmt').verdict).toBe('matches');
      expect(endpointOf(matrix, 'six-missing/mgmt').verdict).toBe('missing');
    });
  });

  it.each(WAYS)('survey --networks names the strangers on the whole network, %s', async (_name, way) => {
    await site.laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
    const { result } = await matchmark<Survey>(site, ['survey', site.planFile, '--networks'], way);
    const others = result.entries.filter(({ kind }) => kind === 'other');
    expect(others).toMatchObject(
      STRANGERS.map((address) => ({ address, macs: [mac(0x6b)], network: 'mgmt' })),
    );
    expect(found(result, 'stranger')).toEqual([...STRANGERS]);
    expect(result.asked.networks).toEqual([{ network: 'mgmt', addresses: 254 }]);
    expect(found(result, 'proxy-arp')).toEqual([]);
  });

  it.skipIf(programsRefusal('lldpd', 'lldpcli') !== undefined)(
    "tells the switch port at the other end of the laptop's own cable (IEEE 802.1AB)",
    async () => {
      await startLldp(site);
      const { result } = await matchmark<Matrix>(site, ['check', site.planFile, '--only', 'alone']);
      const [neighbour, ...others] = result.evidence[0]?.ownNeighbours ?? [];
      expect(others).toEqual([]);
      expect(neighbour).toMatchObject({
        localPort: 'eth0',
        sysName: 'loft-switch',
        portDescription: 'port-laptop',
      });
      expect(result.evidence[0]?.notes.join(' ')).toMatch(/eth0 .*port-laptop.* of loft-switch/);
      const kit = await site.laptop.matchmark(['kit', '--listen', '10']);
      expect(kit.stdout.replace(/\s+/g, ' ')).toMatch(/eth0 is cabled to .*port-laptop.* of loft-switch/);
    },
  );
});

describe.skipIf(refusal !== undefined)('a router that answers ARP for everything', () => {
  let site: ProxySite;
  beforeAll(async () => {
    site = await buildProxySite();
  });
  afterAll(() => site?.lab.remove());

  it.each(WAYS)('is one finding, and no proof of what it answers for (%s)', async (_name, way) => {
    await site.laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
    const { result } = await matchmark<Matrix>(site, ['check', site.planFile], way);
    const proxies = result.findings.filter(({ code }) => code === 'proxy-arp');
    expect(proxies).toHaveLength(1);
    expect(JSON.stringify(proxies)).toContain(ROUTER_MAC);
    expect(found(result, 'duplicate-address')).toEqual([]);
    expect(found(result, 'wrong-device')).toEqual([]);
    expect(result.strangers).toEqual([]);
    for (const [index] of NOWHERE.entries())
      expect(endpointOf(result, `nowhere-${index + 1}/data0`).verdict).toBe('missing');
    expect(endpointOf(result, 'near/data0').verdict).toBe('matches');
    const behind = endpointOf(result, 'behind/data0');
    expect(behind).toMatchObject({ address: BEHIND, verdict: 'matches' });
    expect(behind.reasons.join(' ')).toMatch(new RegExp(`${ROUTER_MAC} answers ARP for everything`));
  });

  it.each(['planFile', 'smallPlanFile'] as const)(
    'makes no strangers of a whole network in a survey (%s)',
    async (plan) => {
      await site.laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
      const { result } = await matchmark<Survey>(site, ['survey', site[plan], '--networks']);
      expect(result.findings.filter(({ code }) => code === 'proxy-arp')).toHaveLength(1);
      // The router itself on both sides, the device on this side, and the one behind, which really answers.
      expect(result.entries.map(({ address }) => address)).toEqual([
        '198.51.100.1',
        NEAR,
        '198.51.100.129',
        BEHIND,
      ]);
    },
  );
});
