/** VLAN of an endpoint: that of its learned MAC, else the laptop's own where it answers there, else that of untagged frames at its port. */

import { unread } from '../cabling/agents.js';
import type { Cables } from '../cabling/cables.js';
import type { CableSeen } from '../cabling/index.js';
import { type VlanSeen, vlanSeen } from '../cabling/vlans.js';
import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { toldLine } from '../sighting/evidence-line.js';
import { list } from '../text/sentence.js';
import { type CableCause, sayUntold, unproven, type Why } from './cable-causes.js';
import { differing, type Fact, matching, type Stated } from './fact.js';
import { sayPortAt } from './switch-port-words.js';

export function vlanFact(cables: Cables, endpoint: Endpoint, cable: CableSeen): Fact | undefined {
  const network = cables.view.networkOf(endpoint);
  const planned = network?.vlan;
  if (planned === undefined || endpoint.media === 'fc') return undefined;
  if (endpoint.role === 'power' && endpoint.address === undefined) return undefined;
  const stated: Stated = { fact: 'vlan', planned: String(planned) };
  const seen = vlanSeen(cables, cable.placed, cable.macs, cable.end);
  if (seen === undefined) return unproven(stated, whyOpen(cables, cable));
  const vlans = seen.kind === 'learned' ? seen.vlans : [seen.vlan];
  const said = sayVlan(seen);
  const measured = vlans.join(', ');
  const more = {
    measured,
    vantage: seen.vantage,
    evidence: [{ text: said }],
    vlans: { planned, measured: vlans },
  };
  if (vlans.includes(planned)) return matching(stated, said, { ...more, measured: String(planned) });
  // What hangs on the port may tag its frames, and then it is in another VLAN than the port's own.
  if (seen.kind === 'port')
    return unproven(
      stated,
      {
        cause: 'may-be-tagged',
        reason: `${said}, not into VLAN ${planned}; whether the device sends tagged frames is not told`,
        mend: `see that ${sayPortAt(seen.at)} is in VLAN ${planned}`,
      },
      { vantage: seen.vantage },
    );
  const cause: CableCause = 'other-vlan';
  return differing(stated, cause, said, {
    ...more,
    findings: [
      finding(
        'vlan-differs',
        endpoint.id,
        {
          subject: endpoint.id,
          endpoints: [endpoint.id],
          network: network?.name ?? '',
          planned,
          measured: vlans,
          by: said,
        },
        { evidence: [{ text: said, told: true }], about: [endpoint.id] },
      ),
    ],
  });
}

function sayVlan(seen: VlanSeen): string {
  switch (seen.kind) {
    case 'learned':
      return `${seen.switch} has learned ${seen.mac} in VLAN ${list(seen.vlans.map(String), 4)}`;
    case 'port':
      return `${sayPortAt(seen.at)} puts untagged frames into VLAN ${seen.vlan}`;
    case 'laptop':
      return `it answers on ${seen.interface} of ${seen.vantage}, which is in VLAN ${seen.vlan} by LLDP`;
  }
}

function whyOpen(cables: Cables, { placed, macs }: CableSeen): Why {
  const { endpoint, place } = placed;
  const name = place?.switch ?? endpoint.switch;
  if (name === undefined)
    return {
      cause: 'vlan-not-told',
      reason: 'no switch that was read knows its MAC with a VLAN',
      mend: 'write its switch and switch port into the plan, and let that switch be read by SNMP',
    };
  if (!cables.switches.has(name)) return sayUntold('its VLAN', unread(cables, name));
  const learned = macs.some((mac) => (cables.switches.get(name)?.entriesOf(mac).length ?? 0) > 0);
  return {
    cause: learned ? 'vlan-not-told' : 'mac-not-learned',
    reason: learned
      ? `${name} knows its MAC, and tells no VLAN with it`
      : `${name} does not know its MAC in any VLAN that it tells`,
    mend: `see on ${name} in which VLAN its port is`,
  };
}

/** Endpoints of one network that are all in the same other VLAN: one finding about the network, which it was for the first of them. */
export function networkVlans(facts: readonly (readonly [Endpoint, Fact])[]): Map<Fact, Fact> {
  const byNetwork = new Map<string, (readonly [Endpoint, Fact])[]>();
  for (const one of facts) {
    const key = one[0].network;
    if (one[1].fact === 'vlan' && key !== undefined && one[1].state !== 'unproven')
      byNetwork.set(key, [...(byNetwork.get(key) ?? []), one]);
  }
  const changed = new Map<Fact, Fact>();
  for (const [network, all] of byNetwork) {
    const [first] = all;
    const measured = new Set(all.map(([, { vlans }]) => [...(vlans?.measured ?? [])].sort().join()));
    const vlans = first?.[1].vlans;
    if (first === undefined || vlans === undefined || all.length < 2 || measured.size > 1) continue;
    if (first[1].state !== 'differs') continue;
    const ids = all.map(([{ id }]) => id);
    const made = finding(
      'vlan-differs',
      network,
      {
        subject: `network ${network}`,
        endpoints: ids,
        network,
        ...vlans,
        by: first[1].reason,
      },
      {
        evidence: all
          .flatMap(([, { evidence }], position) =>
            evidence.map((line) => (position === 0 ? toldLine(line) : line)),
          )
          .slice(0, 16),
        about: ids,
      },
    );
    for (const [position, [, fact]] of all.entries())
      changed.set(fact, { ...fact, findings: position === 0 ? [made] : [] });
  }
  return changed;
}
