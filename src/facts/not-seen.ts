import { answers, asked, letNothingOut } from '../evidence/asks.js';
import type { Seen } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { cidrContains } from '../plan/address.js';
import { type EndpointFacts, type Row, unproven } from './facts.js';

/** Nobody looked: the run was limited to other devices, or ended before. */
export const notLookedAt: Row = ({ endpoint, best, view }) => {
  if (best !== undefined) return undefined;
  if (!view.lookedAt(endpoint.device)) {
    const only = [...new Set(view.evidence.flatMap((one) => one.only ?? []))].sort();
    return unproven([`not looked at: the run was limited to ${only.join(', ')}`]);
  }
  return unproven([
    view.evidence.length === 0
      ? 'nothing was measured'
      : view.evidence.every(({ complete }) => !complete)
        ? 'not asked: the run was cut short'
        : 'not asked in this run',
  ]);
};

/** The laptop itself has the address, so the device behind it cannot be seen. Loopback addresses are everybody's own. */
export const ownAddress: Row = ({ endpoint, looks }) => {
  const own = looks.find((look) => isOwn(look));
  if (own === undefined || endpoint.address === undefined) return undefined;
  const vantage = own.evidence.vantage.name;
  return unproven(
    [`${vantage} itself has the address ${endpoint.address}: every answer here is the laptop's`],
    [ownAddressFinding(own, endpoint.id, endpoint.address)],
  );
};

export function ownAddressFinding({ evidence }: Seen, endpoint: string, address: string): Finding {
  const { name: vantage, interfaces } = evidence.vantage;
  return finding(
    'own-address-planned',
    endpoint,
    { address, endpoint, vantage },
    {
      about: [endpoint],
      evidence: interfaces
        .filter(({ addresses }) => addresses.some((one) => one.split('/')[0] === address))
        .map(({ name, addresses }) => `${vantage}: interface ${name} has ${addresses.join(', ')}`),
    },
  );
}

export function isOwn({ sighting, evidence }: Seen): boolean {
  if (isLoopback(sighting.address)) return false;
  return (
    sighting.own ||
    evidence.vantage.interfaces.some(({ addresses }) =>
      addresses.some((one) => one.split('/')[0] === sighting.address),
    )
  );
}

function isLoopback(address: string): boolean {
  return address === '::1' || cidrContains('127.0.0.0/8', address);
}

/** Row 2, and every case in which no question could have been answered: unproven, with the reason and what mends it. */
export const notReachable: Row = (facts) => {
  const { best, claimed } = facts;
  if (best === undefined || answers(best.asks) || claimed.byBox) return undefined;
  const { sighting, evidence, asks } = best;
  if (sighting.reach === 'no-route')
    return unproven([
      sighting.reachReason ?? `${evidence.vantage.name} has no route to ${sighting.address}`,
      ...mendOf(best),
    ]);
  if (sighting.presence.outcome === 'unclaimed') return undefined;
  if (asked(asks) && !letNothingOut(sighting)) return undefined;
  const blocked = asks.filter(({ state }) => state === 'blocked');
  if (blocked.length > 0)
    return unproven([
      `the questions were kept from arriving: ${blocked.map(({ what, detail }) => `${what}: ${detail}`).join('; ')}`,
      ...mendOf(best),
    ]);
  return unproven([...nothingAsked(facts), ...mendOf(best)]);
};

/** Row 4, the part that stays open: routed, silent, and nothing shows that the network can be reached from here at all. */
export const routedUnknown: Row = ({ best, network, neighbourAnswered, claimed }) => {
  if (best === undefined || best.sighting.reach !== 'routed' || answers(best.asks) || claimed.byBox)
    return undefined;
  if (network?.routed === true || neighbourAnswered) return undefined;
  const name = network === undefined ? `the network of ${best.sighting.address}` : network.name;
  return unproven([
    `${name} is another network: the plan does not call it routed, and nothing there answered ${best.evidence.vantage.name}`,
    ...(best.sighting.reachReason === undefined ? [] : [best.sighting.reachReason]),
    ...mendOf(best),
  ]);
};

export function mendOf({ sighting }: Seen): string[] {
  return sighting.mend === undefined
    ? []
    : [`to look from here: ${sighting.mend.add}`, `afterwards: ${sighting.mend.remove}`];
}

function nothingAsked({ best }: EndpointFacts): string[] {
  if (best === undefined) return [];
  const { presence, icmp } = best.sighting;
  const reasons = [
    ...(presence.outcome === 'not-run' ? [`presence was not asked: ${presence.reason}`] : []),
    ...best.asks
      .filter(({ state, what, detail }) => state === 'not-asked' && /^(?:echo)$/.test(what) && detail !== '')
      .map(({ what, detail }) => `${what} was not asked: ${detail}`),
  ];
  const services = best.asks.find(
    ({ state, what }) => state === 'not-asked' && best.sighting.tcp.some((tcp) => tcp.service === what),
  );
  if (services !== undefined) reasons.push(`${services.what} was not asked: ${services.detail}`);
  if (presence.outcome === 'not-run' && presence.mend !== undefined)
    reasons.push(`to mend it: ${presence.mend}`);
  if (icmp.outcome === 'not-run' && icmp.mend !== undefined) reasons.push(`to mend it: ${icmp.mend}`);
  return reasons.length === 0 ? ['nothing could be asked of it'] : reasons;
}
