/** A lab switch that can be asked: snmpd with its own IF-MIB, the bridge's tables beside it, LLDP-MIB from lldpd as AgentX subagent. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { type LabHost, type LabSwitch, PROJECT } from './lab.js';
import type { Running } from './run.js';
import { startSnmpd } from './services.js';

export interface SwitchAgent {
  /** Serve Q-BRIDGE-MIB as well, all in this VLAN, with a filtering database of another number (RFC 4363, dot1qVlanFdbId). */
  readonly vlan?: number;
  readonly fdbId?: number;
  readonly lldp?: boolean;
  /** Serve no forwarding table, as a switch whose agent knows IF-MIB alone. */
  readonly withoutTables?: boolean;
  /** Further lines of snmpd.conf. */
  readonly lines?: readonly string[];
}

/** The agent, for those who stop it. */
export async function startSwitchAgent(place: LabSwitch, agent: SwitchAgent = {}): Promise<Running> {
  const script = path.join(PROJECT, 'tests/lab/support/switch-agent-mib.mjs');
  const vlan = agent.vlan === undefined ? '' : ` ${agent.vlan} ${agent.fdbId ?? agent.vlan}`;
  const agentx = path.join(place.lab.folder, `${place.name}.agentx`);
  const tables = `pass_persist .1.3.6.1.2.1.17 ${process.execPath} ${script} ${place.bridge}${vlan}`;
  const running = await startSnmpd(place, {
    sysName: place.name,
    lines: [...(agent.withoutTables === true ? [] : [tables]), ...(agent.lines ?? [])],
    ...(agent.lldp === true ? { agentx } : {}),
  });
  if (agent.lldp === true) await startLldpd(place, ['-x', '-X', agentx]);
  return running;
}

/** lldpd under the name of the place, sending each second: 802.1AB's 30 s are too long for a test. */
export async function startLldpd(place: LabHost | LabSwitch, more: readonly string[] = []): Promise<void> {
  const file = (end: string) => path.join(place.lab.folder, `${place.name}.${end}`);
  writeFileSync(
    file('lldpd.conf'),
    `configure system hostname ${place.name}\nconfigure lldp tx-interval 1\nconfigure lldp tx-hold 120\n`,
  );
  const description = `${place.name}, example equipment`;
  const settings = ['-d', '-u', file('lldp'), '-O', file('lldpd.conf'), '-S', description];
  const running = place.start('lldpd', [...settings, ...more]);
  const until = Date.now() + 15_000;
  while (
    !(await place.exec('lldpcli', ['-u', file('lldp'), 'show', 'chassis'])).stdout.includes(place.name)
  ) {
    if (Date.now() > until) throw new Error(`lldpd of ${place.name} does not answer: ${running.output()}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}
