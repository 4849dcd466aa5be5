/**
 * Fact `address`: the planned address answers, from one device. Settled by ARP or neighbour discovery on the same link, behind a router
 * by any answer that could not as well come from another (DESIGN 6, table and the paragraph below it).
 */

import { isMovingPair, ownersOf } from '../evidence/duplicate.js';
import { isOwn, mendOf } from '../evidence/own.js';
import { sayPlace } from '../evidence/place.js';
import { anyAsked, letNothingOut } from '../evidence/responses.js';
import { somebodyThere } from '../evidence/there.js';
import type { Seen } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { seenLine } from '../sighting/evidence-line.js';
import { ownAddressFinding } from '../site/own-address.js';
import { absent, differing, type Fact, matching, open, type Stated } from './fact.js';
import { ownHostAddress, ownHostPort } from './own-host-port.js';
import { type Situation, seenBy } from './situation.js';

export type AddressCause =
  | 'not-looked-at'
  | 'own-address'
  | 'own-port-down'
  | 'no-route'
  | 'kept-away'
  | 'nothing-asked'
  | 'network-unknown'
  | 'doubtful-answer'
  | 'laptop-misplaced'
  | 'unclaimed'
  | 'silent'
  | 'two-devices'
  | 'two-ports'
  | 'moved'
  /** It answers, and no MAC tells who: behind a router, or where a router answers for all. */
  | 'answers-only';

export function addressFact(s: Situation): Fact | undefined {
  const { endpoint, best } = s;
  if (endpoint.address === undefined) return undefined;
  const stated: Stated = { fact: 'address', planned: endpoint.address };
  if (best === undefined) return open(stated, 'not-looked-at', notLookedAt(s), { path: 'open' });
  const vantage = best.evidence.vantage.name;
  const hostPort = ownHostPort(s);
  if (hostPort !== undefined) return ownHostAddress(s, hostPort, stated);
  const own = s.looks.find((look) => isOwn(look) && !isOfItsOwn(look, endpoint));
  if (own !== undefined)
    return open(
      stated,
      'own-address',
      `${own.evidence.vantage.name} itself has the address ${endpoint.address}: every answer here is the laptop's`,
      { vantage, path: 'open', findings: [ownAddressFinding(own, endpoint.id, endpoint.address)] },
    );
  const present = somebodyThere(s.claimed, best.responses);
  return present ? there(s, best, stated) : notThere(s, best, stated);
}

/** A host that was looked from by SSH has its own planned address; what others saw of it stands before what it says itself. */
function isOfItsOwn({ evidence }: Seen, { role }: Situation['endpoint']): boolean {
  return evidence.vantage.from !== undefined && role === 'host';
}

function there(s: Situation, best: Seen, stated: Stated): Fact {
  const vantage = best.evidence.vantage.name;
  const macs = s.claimed.claimants.map(({ mac }) => mac);
  const evidence = s.claimed.claimants.flatMap((one) => one.evidence);
  const { claims, endpoint } = s;
  const measured = macs.length === 0 ? 'answers' : macs.join(', ');
  if (claims?.kind === 'two-devices' && !endpoint.virtual) {
    const { duplicate } = claims;
    if (duplicate.sure === 'likely' && isMovingPair(s.view.plan, duplicate.macs))
      return matching(stated, '', { vantage, measured: duplicate.macs.join(', '), evidence });
    return differing(stated, 'two-devices', saySeveral(duplicate), {
      vantage,
      measured: duplicate.macs.length > 1 ? duplicate.macs.join(', ') : (duplicate.why ?? 'two devices'),
      evidence: duplicate.evidence,
      findings: [duplicateFinding(s, duplicate)],
      path: 'ends',
      parts: [
        {
          field: 'address',
          planned: 'one device',
          measured: duplicate.macs.length > 1 ? duplicate.macs.join(', ') : (duplicate.why ?? 'two devices'),
        },
      ],
    });
  }
  const findings = claims === undefined || endpoint.virtual ? [] : besideClaims(s, claims);
  return matching(stated, '', {
    vantage,
    measured,
    evidence,
    findings,
    ...(findings.length > 0 && claims !== undefined
      ? { cause: claims.kind }
      : macs.length === 0
        ? { cause: 'answers-only' as const }
        : {}),
  });
}

function saySeveral({ macs, sure, why }: NonNullable<Situation['duplicate']>): string {
  return macs.length > 1
    ? `claimed by ${macs.length} devices (${macs.join(', ')}), ${sure}`
    : `most likely two devices: ${why ?? 'it changed between two connections'}`;
}

function duplicateFinding(
  { endpoint, view }: Situation,
  { macs, sure, why, evidence }: NonNullable<Situation['duplicate']>,
): Finding {
  const address = endpoint.address ?? '';
  return finding(
    'duplicate-address',
    endpoint.id,
    { address, endpoint: endpoint.id, macs, sure, owners: ownersOf(view.plan, macs), why },
    { evidence, about: [endpoint.id] },
  );
}

/** Several MACs, and all the same one device: said, and no fault of the address. */
function besideClaims({ endpoint }: Situation, claims: NonNullable<Situation['claims']>): Finding[] {
  const address = endpoint.address ?? '';
  const more = { about: [endpoint.id] };
  switch (claims.kind) {
    case 'two-devices':
      return [];
    case 'moved':
      return [
        finding(
          'address-moved',
          endpoint.id,
          { address, endpoint: endpoint.id, macs: claims.macs },
          { ...more, evidence: claims.evidence },
        ),
      ];
    case 'two-ports':
      return [
        finding(
          'answers-on-both-ports',
          endpoint.id,
          { address, endpoint: endpoint.id, macs: claims.macs, owner: claims.owner },
          { ...more, evidence: claims.evidence },
        ),
      ];
  }
}

function notThere(s: Situation, best: Seen, stated: Stated): Fact {
  const { sighting, evidence, responses } = best;
  const vantage = evidence.vantage.name;
  const unproven = (cause: AddressCause, reasons: readonly string[]): Fact =>
    open(stated, cause, reasons, { vantage, path: 'open', mend: sighting.mend?.add, ways: mendOf(best) });
  if (sighting.reach === 'no-route')
    return unproven('no-route', [sighting.reachReason ?? `${vantage} has no route to ${sighting.address}`]);
  if (sighting.presence.outcome === 'unclaimed') {
    if (s.place.kind !== 'there')
      return unproven('laptop-misplaced', [sayPlace(s.place, vantage, s.network?.name ?? '')]);
    return absent(stated, 'unclaimed', `nobody on the link of ${vantage} claims ${sighting.address}`, {
      vantage,
      path: 'ends',
      evidence: [seenLine(evidence, `no answer to ARP or neighbour discovery`)],
      findings: [missingFinding(s, 'unclaimed')],
    });
  }
  const doubtful = responses.filter(({ state }) => state === 'doubtful');
  if (doubtful.length > 0)
    return unproven('doubtful-answer', [
      `what answers behind the router may be another: ${doubtful.map(({ what, detail, refusal }) => (refusal === true ? `${what} was refused, as a firewall does for the absent, too` : `${what}: ${detail}, as at other addresses`)).join('; ')}`,
    ]);
  if (!anyAsked(responses) || letNothingOut(sighting)) {
    const blocked = responses.filter(({ state }) => state === 'blocked');
    return blocked.length > 0
      ? unproven('kept-away', [
          `the questions were kept from arriving: ${blocked.map(({ what, detail }) => `${what}: ${detail}`).join('; ')}`,
        ])
      : unproven('nothing-asked', nothingAsked(best));
  }
  if (sighting.reach === 'routed' && s.network?.routed !== true && !s.neighbourAnswered) {
    const name = s.network?.name ?? `the network of ${sighting.address}`;
    return unproven('network-unknown', [
      `${name} is another network: the plan does not call it routed, and nothing there answered ${vantage}`,
      ...(sighting.reachReason === undefined ? [] : [sighting.reachReason]),
    ]);
  }
  return absent(stated, 'silent', `silent to everything that ${vantage} asked: ${questions(best)}`, {
    vantage,
    path: 'ends',
    evidence: [seenLine(evidence, `${sighting.address}: ${questions(best)}`)],
    findings: [missingFinding(s, 'silent')],
  });
}

function notLookedAt({ endpoint, view }: Situation): string {
  if (!view.lookedAt(endpoint.device)) {
    const only = [...new Set(view.evidence.flatMap((one) => one.only ?? []))].sort();
    return `not looked at: the run was limited to ${only.join(', ')}`;
  }
  if (view.evidence.length === 0) return 'nothing was measured';
  return view.evidence.every(({ complete }) => !complete)
    ? 'not asked: the run was cut short'
    : 'not asked in this run';
}

function nothingAsked({ responses, sighting }: Seen): string[] {
  const { presence, icmp, tcp } = sighting;
  const echo = responses.find(({ what }) => what === 'echo');
  const service = responses.find(
    ({ state, what }) => state === 'not-asked' && tcp.some((one) => one.service === what),
  );
  const reasons = [
    ...(presence.outcome === 'not-run' ? [`presence was not asked: ${presence.reason}`] : []),
    ...(echo?.state === 'not-asked' && echo.detail !== '' ? [`echo was not asked: ${echo.detail}`] : []),
    ...(service === undefined ? [] : [`${service.what} was not asked: ${service.detail}`]),
    ...(presence.outcome === 'not-run' && presence.mend !== undefined
      ? [`to prove it: ${presence.mend}`]
      : []),
    ...(icmp.outcome === 'not-run' && icmp.mend !== undefined ? [`to prove it: ${icmp.mend}`] : []),
  ];
  return reasons.length === 0 ? ['nothing could be asked of it'] : reasons;
}

function missingFinding(s: Situation, how: 'unclaimed' | 'silent'): Finding {
  const { endpoint, best, elsewhere } = s;
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
        seenBy(
          s,
          how === 'unclaimed' || best === undefined
            ? `no answer to ARP or neighbour discovery for ${address}`
            : `${address}: ${questions(best)}`,
        ),
      ],
    },
  );
}

function questions({ responses }: Seen): string {
  const parts = responses
    .filter(({ state }) => state === 'silent' || state === 'blocked')
    .map(({ what, detail }) => `${what} (${detail})`);
  return [...new Set(parts)].join(', ');
}
