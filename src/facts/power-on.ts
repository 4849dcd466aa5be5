/**
 * Stage `power-on` (DESIGN 4): devices are still at their defaults, so an endpoint is judged by its default address.
 *
 * | seen | verdict |
 * | --- | --- |
 * | no address planned, or nobody looked | as at stage configured |
 * | the planned address answers, and MAC or identity are the device's | as at stage configured, and `already-readdressed` |
 * | the planned address answers, and the device has a default | `differs`, `address-taken` |
 * | the planned address answers, and the plan gives the device no default | as at stage configured |
 * | no default that this endpoint comes up on | `unproven`: judged at stage configured |
 * | its default is claimed by two, or by a box that is in no part of the plan | `differs` |
 * | its default answers, and only this endpoint's box can be the one | `matches` |
 * | its default answers, and one of several boxes is behind it | `unproven`: power on one at a time |
 * | nobody on its default's link claims it | `missing` |
 * | its default could not be asked from here | `unproven`, with what mends it |
 */
import { belongsTo } from '../defaults/belongs.js';
import { evidenceAt } from '../defaults/judge.js';
import type { DefaultIndex, DefaultSeen } from '../defaults/look.js';
import { answers } from '../evidence/asks.js';
import { unexcludedDuplicate } from '../evidence/unexcluded.js';
import { finding } from '../findings/index.js';
import { selfDescription } from '../identity/facts.js';
import { rightBox, wrongDevice } from '../identity/wrong-device.js';
import { differs, type EndpointFacts, missing, type RowOutcome, unproven } from './facts.js';
import { noAddress } from './no-address.js';
import { notLookedAt, ownAddress } from './not-seen.js';
import { outcomeOf } from './table.js';

export function powerOnOutcome(facts: EndpointFacts, defaults: DefaultIndex): RowOutcome {
  const { endpoint, view } = facts;
  const first = noAddress(facts) ?? (view.lookedAt(endpoint.device) ? ownAddress(facts) : notLookedAt(facts));
  if (first !== undefined) return first;
  const candidates = defaults.of(endpoint.id);
  const staysThere = candidates.some(({ address }) => address === endpoint.address);
  const early = staysThere ? undefined : atPlannedAddress(facts, defaults);
  if (early !== undefined) return early;
  if (candidates.length === 0)
    return unproven([
      defaults.has(endpoint.device)
        ? 'still at its default: this port has none in the plan; it is judged at stage configured'
        : 'still at its default, which the plan does not give; it is judged at stage configured',
    ]);
  return waiting(byDefault(facts, candidates));
}

function atPlannedAddress(facts: EndpointFacts, defaults: DefaultIndex): RowOutcome | undefined {
  const { best, claimed, endpoint, view, looks, wrong } = facts;
  if (best === undefined || endpoint.address === undefined) return undefined;
  if (!claimed.byBox && !answers(best.asks)) return undefined;
  const { because } = rightBox(view.plan, endpoint, claimed, looks);
  const about = [endpoint.id];
  if (because.length > 0 && wrong === undefined) {
    const outcome = outcomeOf(facts);
    const note = finding(
      'already-readdressed',
      endpoint.id,
      { address: endpoint.address, endpoint: endpoint.id, because },
      { about },
    );
    return { ...outcome, findings: [...outcome.findings, note] };
  }
  if (!defaults.has(endpoint.device)) return outcomeOf(facts);
  const identity = looks.map(({ sighting }) => sighting.identity).find((one) => Object.keys(one).length > 0);
  const mac = claimed.claimants[0]?.mac;
  const evidence = claimed.claimants.flatMap(({ evidence: lines }) => lines);
  const differences = [
    {
      field: 'address',
      planned: 'free still',
      measured: `in use by ${mac ?? 'a box'}`,
      evidence: evidence.join('; '),
    },
  ];
  const outcome = differs(
    [
      `${endpoint.address} is in use already${mac === undefined ? '' : ` (${mac})`}, before the device has it`,
    ],
    [
      finding(
        'address-taken',
        endpoint.id,
        {
          address: endpoint.address,
          endpoint: endpoint.id,
          mac,
          says: [...(wrong?.mismatches ?? []), ...(identity === undefined ? [] : selfDescription(identity))],
        },
        { about, evidence },
      ),
    ],
  );
  return { ...outcome, differences };
}

function byDefault(facts: EndpointFacts, candidates: readonly DefaultSeen[]): RowOutcome {
  const { endpoint, view } = facts;
  const bad = candidates.find((one) => one.outcome === 'clash');
  if (bad !== undefined)
    return atDefault(
      bad,
      'more than one box',
      `its default address ${bad.address} is claimed by more than one box`,
    );
  const answering = candidates.filter(({ outcome }) => outcome === 'answers');
  const taken = answering.find((one) => belongsTo(view, one).stranger);
  if (taken !== undefined)
    return atDefault(
      taken,
      'a box that is in no part of the plan',
      `its default address ${taken.address} is answered by a box that is in no part of the plan`,
    );
  const mine = answering
    .map((one) => ({ one, able: boxesBehind(facts, one) }))
    .filter(({ able }) => able.includes(endpoint.id));
  if (mine.length > 0) {
    const rivals = new Set(mine.flatMap(({ able }) => able));
    const addresses = mine.map(({ one }) => one.address).join(', ');
    const open = mine.flatMap(({ one }) =>
      one.looks.flatMap(({ sighting }) => unexcludedDuplicate(sighting) ?? []),
    );
    return mine.length >= rivals.size
      ? {
          verdict: 'matches',
          reasons:
            open.length === 0
              ? [`answers at its default address ${addresses}, from exactly one box`]
              : [`answers at its default address ${addresses}, from one box`, ...new Set(open)],
          findings: [],
          liveness: { state: 'unproven' },
        }
      : unproven([
          `${addresses} is answered by one of ${[...rivals].sort().join(', ')}: power them on one at a time to tell which`,
        ]);
  }
  const silent = candidates.find(({ outcome }) => outcome === 'silent');
  if (silent !== undefined)
    return missing(
      [`nobody on the link claims its default address ${silent.address}`],
      [
        finding(
          'endpoint-missing',
          endpoint.id,
          {
            endpoint: endpoint.id,
            address: silent.address,
            how: 'default',
            vantage: silent.looks[0]?.evidence.vantage.name ?? '',
          },
          { about: [endpoint.id], evidence: evidenceAt(silent) },
        ),
      ],
    );
  const held = answering[0];
  if (held !== undefined)
    return unproven([
      `another box answers on its default address ${held.address}: it cannot be seen until that one has its planned address`,
    ]);
  return unproven(
    candidates.flatMap(({ address, reasons }) => [`default address ${address}:`, ...reasons].join(' ')),
  );
}

function atDefault(seen: DefaultSeen, measured: string, reason: string): RowOutcome {
  const planned = 'one box of the plan';
  const evidence = evidenceAt(seen).join('; ');
  return {
    ...differs([reason], []),
    differences: [{ field: 'default address', planned, measured, evidence }],
  };
}

/** Endpoints in the run whose MAC, prefix and identity allow that their box is the one that answers on this default. */
function boxesBehind({ view }: EndpointFacts, seen: DefaultSeen): string[] {
  return seen.endpoints
    .filter(({ device }) => view.lookedAt(device))
    .filter((endpoint) => wrongDevice(view.plan, endpoint, seen.claimed, seen.looks) === undefined)
    .map(({ id }) => id);
}

/** Nothing counts as a live path while devices are at their defaults. */
function waiting(outcome: RowOutcome): RowOutcome {
  return outcome.verdict === 'missing'
    ? outcome
    : { ...outcome, liveness: { state: 'unproven', why: 'devices are still at their default addresses' } };
}
