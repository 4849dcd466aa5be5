import type { EndpointSighting } from '../matrix/matrix.js';
import type { NotRun } from '../sighting/types.js';
import type { Situation } from './situation.js';

/** One sighting a look, best-placed first; link and cabling stand at the first. An endpoint without an address has one where its link is known. */
export function endpointSightings({ looks, claimed, cabling, view }: Situation): EndpointSighting[] {
  const known = {
    link: cabling?.link ?? {},
    ...(cabling?.cabling === undefined ? {} : { cabling: cabling.cabling }),
  };
  if (looks.length === 0) {
    const vantage = view.evidence[0]?.vantage.name;
    return vantage === undefined || (cabling?.link === undefined && cabling?.cabling === undefined)
      ? []
      : [{ vantage, ...WITHOUT_ADDRESS, ...known }];
  }
  return looks.map(({ sighting, evidence }, index): EndpointSighting => {
    const { reach, presence, icmp, tcp, proofs, snmp, identity, mtu, iscsi } = sighting;
    return {
      vantage: evidence.vantage.name,
      at: evidence.startedAt,
      ...(sighting.own ? { own: true } : {}),
      reach,
      ...(sighting.reachReason === undefined ? {} : { reachReason: sighting.reachReason }),
      ...(sighting.mend === undefined ? {} : { mend: sighting.mend }),
      ...(sighting.interface === undefined ? {} : { interface: sighting.interface }),
      macs:
        index === 0
          ? macsOf(
              presence,
              claimed.claimants.map(({ mac }) => mac),
            )
          : macsOf(presence, []),
      presence,
      icmp,
      tcp,
      proofs,
      snmp,
      identity,
      mtu,
      iscsi,
      ...(index === 0 ? known : { link: {} }),
    };
  });
}

/** All MACs that claimed it, also proxies: what was seen, not what it means. */
function macsOf(presence: EndpointSighting['presence'], claimants: readonly string[]): string[] {
  return presence.outcome === 'claimed' ? [...new Set([...claimants, ...presence.macs])] : [];
}

const NO_ADDRESS: NotRun = { outcome: 'not-run', cause: 'not-planned', reason: 'no address is planned' };

const WITHOUT_ADDRESS = {
  reach: 'no-route',
  macs: [],
  presence: NO_ADDRESS,
  icmp: NO_ADDRESS,
  tcp: [],
  proofs: [],
  snmp: NO_ADDRESS,
  identity: {},
  mtu: NO_ADDRESS,
  iscsi: NO_ADDRESS,
} as const;
