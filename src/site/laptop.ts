/** What is to be said of the laptop itself, before anything is said of the devices: where it stands, and whether its address is its own. */

import { sayPlace } from '../evidence/place.js';
import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { seenLine, toldLine } from '../sighting/evidence-line.js';

/**
 * One finding a vantage, with every network in which silence proves nothing. `beforePower`: that no planned device answers is as it should
 * be, and only the gateway tells that the place is wrong.
 */
export function judgePlaces(view: View, beforePower = false): Finding[] {
  const byVantage = new Map<string, typeof view.places.wrong>();
  for (const one of view.places.wrong) {
    if (beforePower && one.place.kind === 'nobody-answers' && !one.place.gateway) continue;
    const name = one.evidence.vantage.name;
    byVantage.set(name, [...(byVantage.get(name) ?? []), one]);
  }
  return [...byVantage].flatMap(([vantage, wrong]) => {
    const networks = wrong.flatMap(({ network, place }) => {
      // Where every planned address of it answered from somewhere, its place does not matter.
      const open = view.plan.endpoints.some(
        (endpoint) =>
          endpoint.address !== undefined &&
          view.networkOf(endpoint)?.name === network.name &&
          view.seen(endpoint.address)[0]?.sighting.presence.outcome === 'unclaimed',
      );
      return open
        ? [{ network: network.name, vlan: network.vlan, why: sayPlace(place, vantage, network.name) }]
        : [];
    });
    if (networks.length === 0) return [];
    const names = new Set(networks.map(({ network }) => network));
    const about = view.plan.endpoints
      .filter((endpoint) => names.has(view.networkOf(endpoint)?.name ?? ''))
      .map(({ id }) => id);
    return [
      finding(
        'laptop-misplaced',
        vantage,
        { vantage, networks },
        { about, evidence: wrong.map(({ evidence }) => toldLine(seenLine(evidence, ''))) },
      ),
    ];
  });
}

export function judgeOwnAddress(view: View): Finding[] {
  return view.evidence.flatMap((evidence) =>
    evidence.ownClaimed
      .filter(({ macs }) => macs.length > 0)
      .map(({ address, macs }) =>
        finding(
          'own-address-taken',
          address,
          { vantage: evidence.vantage.name, address, macs },
          {
            evidence: [seenLine(evidence, `${macs.join(', ')} claim ${address}`)],
          },
        ),
      ),
  );
}

/** A routed network whose gateway nobody claims, seen from its own link where others answer. */
export function judgeGateways(view: View): Finding[] {
  return view.plan.networks.flatMap(({ name, gateway, routed }) => {
    if (gateway === undefined || !routed) return [];
    const looks = view.seen(gateway).filter(({ sighting }) => sighting.reach === 'on-link');
    const [best] = looks;
    if (best === undefined || looks.some(({ sighting }) => sighting.presence.outcome !== 'unclaimed'))
      return [];
    if (view.places.at(best.evidence, gateway).kind !== 'there') return [];
    const vantage = best.evidence.vantage.name;
    return [
      finding(
        'gateway-silent',
        name,
        { network: name, gateway, vantage },
        { evidence: [seenLine(best.evidence, `nobody claims ${gateway}`)] },
      ),
    ];
  });
}
