import { answers, asked } from '../evidence/asks.js';
import { finding } from '../findings/index.js';
import { duplicateFinding } from './duplicate.js';
import { differs, type EndpointFacts, missing, type Row } from './facts.js';
import { serviceFinding } from './services-row.js';
import { wrongDeviceFinding } from './wrong-device.js';

/** Rows 3 and 4. On the same link and nobody claims it, or silent to everything where an answer could have come back. */
export const silent: Row = (facts) => {
  const { best, claimed } = facts;
  if (best === undefined || claimed.byBox || answers(best.asks)) return undefined;
  const vantage = best.evidence.vantage.name;
  if (best.sighting.presence.outcome === 'unclaimed')
    return missing(
      [`nobody on the link of ${vantage} claims ${best.sighting.address}`],
      [missingFinding(facts, 'unclaimed')],
    );
  return missing(
    [`silent to everything that ${vantage} asked: ${questions(facts)}`],
    [missingFinding(facts, 'silent')],
  );
};

/** Row 5. Something claims the address and says nothing else. */
export const claimedSilent: Row = (facts) => {
  const { best, claimed, endpoint, services } = facts;
  if (best === undefined || !claimed.byBox || answers(best.asks) || !asked(best.asks)) return undefined;
  const macs = claimed.claimants.map(({ mac }) => mac);
  const silentServices = services.filter(({ state }) => state === 'silent' || state === 'snmp-silent');
  const echoSilent =
    best.sighting.icmp.outcome === 'no-reply' || best.sighting.icmp.outcome === 'unreachable';
  if (silentServices.length === 0 && !echoSilent) return undefined;
  const more = { evidence: claimed.claimants.flatMap(({ evidence }) => evidence), about: [endpoint.id] };
  const address = best.sighting.address;
  return differs(
    [`claimed by ${macs.join(', ')}, silent to everything that was asked: ${questions(facts)}`],
    [
      ...duplicateFinding(facts),
      ...wrongDeviceFinding(facts),
      ...(silentServices.length > 0
        ? silentServices.map((state) => serviceFinding(facts, state, true))
        : [finding('no-echo', endpoint.id, { endpoint: endpoint.id, address, macs }, more)]),
    ],
  );
};

export function missingFinding(
  facts: EndpointFacts,
  how: 'unclaimed' | 'silent',
): ReturnType<typeof finding> {
  const { endpoint, best, elsewhere } = facts;
  const vantage = best?.evidence.vantage.name ?? '';
  const address = endpoint.address ?? '';
  return finding(
    'endpoint-missing',
    endpoint.id,
    {
      endpoint: endpoint.id,
      address,
      how,
      vantage,
      elsewhere: elsewhere?.isDefault === false ? elsewhere.address : undefined,
      atDefault: elsewhere?.isDefault === true ? elsewhere.address : undefined,
    },
    {
      about: [endpoint.id],
      evidence: [
        `${vantage}, ${best?.evidence.startedAt ?? ''}: ${
          how === 'unclaimed'
            ? `no answer to ARP or neighbour discovery for ${address}`
            : `${address}: ${questions(facts)}`
        }`,
      ],
    },
  );
}

function questions({ best }: EndpointFacts): string {
  const parts = (best?.asks ?? [])
    .filter(({ state }) => state === 'silent' || state === 'blocked')
    .map(({ what, detail }) => `${what} (${detail})`);
  return [...new Set(parts)].join(', ');
}
