/** The survey before power-on: nothing of the plan should answer yet, so whatever does is in the way. Pure. */

import { belongsTo } from '../defaults/belongs.js';
import { type DefaultSeen, defaultsSeen } from '../defaults/defaults-seen.js';
import { type Claimed, claimedBy } from '../evidence/claims.js';
import { ownersOf } from '../evidence/duplicate.js';
import { isOwn } from '../evidence/own.js';
import { anyAnswer, anyAsked } from '../evidence/responses.js';
import { somebodyThere } from '../evidence/there.js';
import { type Seen, type View, viewOf } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import { selfDescription } from '../identity/facts.js';
import { identityOf } from '../identity/seen-identity.js';
import { shownToBePlanned, wrongDevice } from '../identity/wrong-device.js';
import type { Survey, SurveyEntry } from '../matrix/survey.js';
import { compareAddresses } from '../plan/address.js';
import type { Endpoint, Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { Evidence } from '../sighting/types.js';
import { judgePlaces } from '../site/laptop.js';
import { ownAddressFinding } from '../site/own-address.js';
import { judgeProxyArp } from '../site/proxy-arp.js';
import { judgeStrangers, type MakerOf } from '../site/strangers.js';

export interface SurveyOptions {
  readonly makerOf?: MakerOf | undefined;
  /** Networks that were swept, with how many of their addresses were asked. */
  readonly swept?: readonly { readonly network: string; readonly addresses: number }[] | undefined;
}

export function judgeSurvey(plan: Plan, evidence: readonly Evidence[], options: SurveyOptions = {}): Survey {
  const view = viewOf(plan, evidence);
  const makerOf = options.makerOf ?? (() => undefined);
  const defaults = new Map(defaultsSeen(view).map((seen) => [seen.address, seen]));
  const planned = new Map<string, Endpoint[]>();
  for (const endpoint of plan.endpoints)
    if (endpoint.address !== undefined)
      planned.set(endpoint.address, [...(planned.get(endpoint.address) ?? []), endpoint]);
  const gateways = new Set(plan.networks.map(({ gateway }) => gateway));
  const entries: SurveyEntry[] = [];
  const silent: string[] = [];
  const unproven: { address: string; reason: string }[] = [];
  const findings: Finding[] = [];

  for (const address of [...view.addresses].sort(compareAddresses)) {
    const looks = view.seen(address);
    const best = looks[0];
    if (best === undefined) continue;
    const owners = planned.get(address) ?? [];
    // A gateway of the plan is asked as a witness; in a network that was swept it is one of those who are there.
    const swept = options.swept?.some(({ network }) => network === view.networkAt(address)?.name) === true;
    if (owners.length === 0 && !defaults.has(address) && gateways.has(address) && !swept) continue;
    const own = looks.find(isOwn);
    if (own !== undefined) {
      for (const owner of owners) findings.push(ownAddressFinding(own, owner.id, address));
      unproven.push({ address, reason: `${own.evidence.vantage.name} itself has this address` });
      continue;
    }
    const claimed = claimedBy(view, looks);
    if (!somebodyThere(claimed, ...looks.map(({ responses }) => responses))) {
      if (provenSilent(best)) silent.push(address);
      else unproven.push({ address, reason: openReason(best) });
      continue;
    }
    const seen = defaults.get(address);
    entries.push(entryOf(view, address, looks, claimed, owners, seen, makerOf));
    for (const owner of owners.filter((one) => !stoodBefore(view, one, claimed, looks)))
      findings.push(takenFinding(view, owner, claimed, looks, makerOf));
    if (seen !== undefined && owners.length === 0) findings.push(...defaultFindings(view, seen, makerOf));
  }
  findings.push(
    ...judgeStrangers(view, makerOf).findings,
    ...judgeProxyArp(view),
    ...judgePlaces(view, true),
  );
  const wasAsked = new Set([...silent, ...entries.map(({ address }) => address)]);
  return {
    format: 'matchmark.survey/1',
    takenAt: evidence.map(({ startedAt }) => startedAt).sort()[0] ?? '',
    vantage: [...new Set(evidence.map(({ vantage }) => vantage.name))].sort().join(', '),
    site: plan.site.name,
    complete: evidence.every(({ complete }) => complete),
    entries,
    asked: {
      planned: [...planned.keys()].filter((address) => wasAsked.has(address)).length,
      defaults: [...defaults.keys()].filter((address) => wasAsked.has(address)).length,
      networks: options.swept ?? [],
    },
    silent,
    unproven,
    findings: orderFindings(findings),
  };
}

function entryOf(
  view: View,
  address: string,
  looks: readonly Seen[],
  claimed: Claimed,
  owners: readonly Endpoint[],
  seen: DefaultSeen | undefined,
  makerOf: MakerOf,
): SurveyEntry {
  const macs = claimed.claimants.map(({ mac }) => mac);
  const maker = macs[0] === undefined ? undefined : makerOf(macs[0]);
  const network = view.networkAt(address)?.name;
  const answering = looks.find((look) => anyAnswer(look.responses)) ?? looks[0];
  return {
    address,
    macs,
    ...(maker === undefined ? {} : { maker }),
    ...(network === undefined ? {} : { network }),
    kind: owners.length > 0 ? 'planned' : seen !== undefined ? 'default' : 'other',
    ...(owners[0] === undefined ? {} : { endpoint: owners[0].id }),
    devices: owners.length > 0 ? [...new Set(owners.map(({ device }) => device))] : (seen?.devices ?? []),
    identity: identityOf(looks) ?? {},
    icmp: answering?.sighting.icmp ?? { outcome: 'not-run', cause: 'out-of-scope', reason: 'not asked' },
    tcp: answering?.sighting.tcp ?? [],
  };
}

/** A device that was there before the visit may answer, unless what answers is shown to be another (DESIGN 3, `existing`). */
function stoodBefore(view: View, owner: Endpoint, claimed: Claimed, looks: readonly Seen[]): boolean {
  return (
    indexOf(view.plan).device(owner.device)?.existing === true &&
    wrongDevice(view.plan, owner, claimed, looks) === undefined
  );
}

/** Before power-on a MAC prefix proves nothing: an older device of the same make may stand on the site. */
function takenFinding(
  view: View,
  owner: Endpoint,
  claimed: Claimed,
  looks: readonly Seen[],
  makerOf: MakerOf,
): Finding {
  const address = owner.address ?? '';
  const { because } = shownToBePlanned(view.plan, owner, claimed, looks, { prefixCounts: false });
  const more = { about: [owner.id], evidence: claimed.claimants.flatMap(({ evidence }) => evidence) };
  if (because.length > 0 && wrongDevice(view.plan, owner, claimed, looks) === undefined)
    return finding('already-readdressed', owner.id, { address, endpoint: owner.id, because }, more);
  const macs = claimed.claimants.map(({ mac }) => mac);
  return finding(
    'address-taken',
    owner.id,
    {
      address,
      endpoint: owner.id,
      mac: macs.length === 0 ? undefined : macs.join(', '),
      maker: macs[0] === undefined ? undefined : makerOf(macs[0]),
      says: selfDescription(identityOf(looks) ?? {}),
    },
    more,
  );
}

function defaultFindings(view: View, seen: DefaultSeen, makerOf: MakerOf): Finding[] {
  const { address, devices, endpoints, duplicate } = seen;
  const about = endpoints.map(({ id }) => id);
  if (duplicate !== undefined)
    return [
      finding(
        'default-address-clash',
        address,
        {
          address,
          devices,
          macs: duplicate.macs,
          sure: duplicate.sure,
          owners: ownersOf(view.plan, duplicate.macs),
        },
        { about, evidence: duplicate.evidence },
      ),
    ];
  const { shown, by } = belongsTo(view, seen);
  if (shown.length > 0 && by?.kind !== 'mac-prefix') return [];
  const mac = seen.claimed.claimants[0]?.mac;
  return [
    finding(
      'default-address-taken',
      address,
      {
        address,
        devices,
        mac,
        maker: mac === undefined ? undefined : makerOf(mac),
        says: selfDescription(identityOf(seen.looks) ?? {}),
      },
      { about, evidence: seen.claimed.claimants.flatMap(({ evidence }) => evidence) },
    ),
  ];
}

function provenSilent({ sighting, responses }: Seen): boolean {
  return sighting.reach === 'on-link' && (sighting.presence.outcome === 'unclaimed' || anyAsked(responses));
}

function openReason({ sighting, responses }: Seen): string {
  if (sighting.reachReason !== undefined) return sighting.reachReason;
  if (sighting.reach === 'routed') return 'it lies behind a router: silence from here proves nothing';
  if (sighting.presence.outcome === 'not-run') return sighting.presence.reason;
  return responses.find(({ state }) => state !== 'answered')?.detail ?? 'it could not be asked';
}
