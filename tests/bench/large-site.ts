/** Thousands of endpoints in the lab: a few hosts carry many addresses each, a share of the planned ones nobody has. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { Lab, type LabHost } from '../lab/support/lab.js';
import { must, run } from '../lab/support/run.js';
import { startEquipment } from '../lab/support/services.js';

/** Three services an endpoint, bare ports, so that program and loop put the same questions. */
export const PORTS = [3260, 8080, 9000] as const;
const HOSTS = 4;
/** Two controllers with four ports each (DESIGN 1). */
export const ENDPOINTS_A_DEVICE = 8;
/** Of 198.18.0.0/15, which RFC 2544 appendix C.2.2 keeps for measurements. */
const NETWORK = '198.18.0.0/19';

export interface LargeSite {
  readonly lab: Lab;
  readonly laptop: LabHost;
  /** A plan of the first so many endpoints, and their addresses. */
  plan(endpoints: number): { readonly file: string; readonly addresses: readonly string[] };
  /** Empties the neighbour tables of all hosts, so that who is measured first makes nothing easier or harder for who comes next. */
  forget(): Promise<void>;
}

/** `silentEvery`: each so manieth address is nobody's. */
export async function buildLargeSite(endpoints: number, silentEvery: number): Promise<LargeSite> {
  const lab = new Lab();
  try {
    const bench = await lab.addSwitch('loft-switch');
    const laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', addresses: ['198.18.31.250/19'] },
    ]);
    const hosts = [laptop];
    for (let host = 0; host < HOSTS; host += 1) {
      const box = await lab.addHost(`device-${host}`, [{ switch: bench, name: 'eth0' }]);
      hosts.push(box);
      const own = Array.from({ length: endpoints }, (_, at) => at).filter(
        (at) => at % silentEvery !== 0 && at % HOSTS === host,
      );
      const lines = own.map((at) => `address add ${addressOf(at)}/19 dev eth0`);
      await must('ip', ['-n', box.namespace, '-batch', '-'], { input: `${lines.join('\n')}\n` });
      await box.must('nft', ['-f', '-'], { input: portRules(own) });
      await startEquipment(box, { open: PORTS });
    }
    return {
      lab,
      laptop,
      plan: (amount) => writePlan(lab, amount),
      forget: async () => {
        for (const { namespace } of hosts) await run('ip', ['-n', namespace, 'neigh', 'flush', 'all']);
      },
    };
  } catch (error) {
    await lab.remove();
    throw error;
  }
}

/** Each endpoint has a MAC of its own, as the ports of real controllers have: what leaves for it is told from its address. */
function portRules(endpoints: readonly number[]): string {
  const macs = endpoints.map((at) => `${addressOf(at)} : ${macOf(at)}`).join(', ');
  return `table netdev ports {
  map macs { type ipv4_addr : ether_addr; elements = { ${macs} }; }
  chain in { type filter hook ingress device "eth0" priority 0; meta pkttype other meta pkttype set host; }
  chain out { type filter hook egress device "eth0" priority 0;
    ether type arp ether saddr set arp saddr ip map @macs
    ether type arp arp saddr ether set arp saddr ip map @macs
    ether type ip ether saddr set ip saddr map @macs
  }
}`;
}

/** Locally administered (IEEE 802, second bit of the first octet). */
function macOf(at: number): string {
  const [high, low] = [at >> 8, at & 0xff].map((octet) => octet.toString(16).padStart(2, '0'));
  return `02:00:00:00:${high}:${low}`;
}

export function addressOf(at: number): string {
  return `198.18.${Math.floor(at / 250)}.${(at % 250) + 1}`;
}

function writePlan(lab: Lab, amount: number): ReturnType<LargeSite['plan']> {
  const services = PORTS.map((port) => `tcp/${port}`).join(' ');
  const addresses = Array.from({ length: amount }, (_, at) => addressOf(at));
  const rows = addresses.map((address, at) => {
    const device = `vault-${Math.floor(at / ENDPOINTS_A_DEVICE) + 1}`;
    const port = at % ENDPOINTS_A_DEVICE;
    return `${device},${port < 4 ? 'A' : 'B'},data${port % 4},data,bench,${address},${services}`;
  });
  const list = path.join(lab.folder, `list-${amount}.csv`);
  writeFileSync(list, `device,controller,port,role,network,address,services\n${rows.join('\n')}\n`);
  const file = path.join(lab.folder, `plan-${amount}.yaml`);
  writeFileSync(
    file,
    `plan: 1\nsite: { name: Bench }\nnetworks:\n  - { name: bench, cidr: ${NETWORK} }\nendpoints: ${path.basename(list)}\n`,
  );
  return { file, addresses };
}
