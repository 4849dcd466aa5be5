/**
 * Stage `power-on` (DESIGN 4): devices are still at their defaults, so an endpoint is judged by its default address.
 *
 * | seen | state of the address |
 * | --- | --- |
 * | no address planned, nobody looked, or a device that stood there before | as at stage configured |
 * | the planned address answers, and MAC or identity are the device's | as at stage configured, and `already-readdressed` |
 * | the planned address answers, and the device has a default | `differs`, `address-taken` |
 * | the planned address answers, and the plan gives the device no default | as at stage configured |
 * | no default that this endpoint comes up on | `unproven`: judged at stage configured |
 * | its default is claimed by two, or by a device that is in no part of the plan | `differs` |
 * | its default is the gateway's, was held before by the same MAC, or is seen through a router only | `unproven` |
 * | its default answers, and only this endpoint's device can be the one | `matches` |
 * | its default answers, and one of several devices is behind it | `unproven`: power on one at a time |
 * | nobody on its default's link claims it | `missing` |
 * | its default could not be asked from here | `unproven`, with what would prove it |
 */

import { belongsTo } from '../defaults/belongs.js';
import { type DefaultIndex, type DefaultSeen, sayDoubt } from '../defaults/defaults-seen.js';
import { evidenceAt } from '../defaults/judge.js';
import { isOwn } from '../evidence/own.js';
import { somebodyThere } from '../evidence/there.js';
import { unexcludedDuplicate } from '../evidence/unexcluded.js';
import { finding } from '../findings/index.js';
import { selfDescription } from '../identity/facts.js';
import { identityOf } from '../identity/seen-identity.js';
import { shownToBePlanned, wrongDevice } from '../identity/wrong-device.js';
import type { Attestation } from '../sighting/types.js';
import { absent, differing, type Fact, matching, open, type Stated } from './fact.js';
import { type Judged, judgedFrom, judgeEndpoint } from './ledger.js';
import type { Situation } from './situation.js';

export type PowerOnCause =
  | 'no-default'
  | 'default-doubtful'
  | 'default-not-asked'
  | 'held-by-another'
  | 'one-of-several'
  /** As it should: at its default address. */
  | 'at-default'
  /** A device that is not the planned one answers at its planned address, or at its default. */
  | 'taken';

export function judgeAtPowerOn(
  s: Situation,
  defaults: DefaultIndex,
  attestations: readonly Attestation[],
): Judged {
  const { endpoint, view, device } = s;
  const configured = (): Judged => judgeEndpoint(s, attestations);
  if (endpoint.address === undefined || device?.existing === true) return configured();
  if (!view.lookedAt(endpoint.device) || s.looks.some(isOwn)) return configured();
  const candidates = defaults.of(endpoint.id);
  const staysThere = candidates.some(({ address }) => address === endpoint.address);
  const early = staysThere ? undefined : atPlannedAddress(s, defaults, configured);
  if (early !== undefined) return early;
  const address = byDefault(s, defaults, candidates);
  const judged = judgedFrom(s, [address]);
  // Nothing counts as a live path while devices are at their defaults.
  return judged.verdict === 'missing'
    ? judged
    : {
        ...judged,
        liveness: { state: 'unproven', why: 'devices are still at their default addresses' },
      };
}

function atPlannedAddress(
  s: Situation,
  defaults: DefaultIndex,
  configured: () => Judged,
): Judged | undefined {
  const { best, claimed, endpoint, view, looks, wrong } = s;
  if (best === undefined || endpoint.address === undefined) return undefined;
  if (!somebodyThere(claimed, best.responses)) return undefined;
  const { because } = shownToBePlanned(view.plan, endpoint, claimed, looks);
  const about = [endpoint.id];
  if (because.length > 0 && wrong === undefined) {
    const judged = configured();
    const note = finding(
      'already-readdressed',
      endpoint.id,
      { address: endpoint.address, endpoint: endpoint.id, because },
      { about },
    );
    return { ...judged, findings: [...judged.findings, note] };
  }
  if (!defaults.has(endpoint.device)) return configured();
  const identity = identityOf(looks);
  const mac = claimed.claimants[0]?.mac;
  const evidence = claimed.claimants.flatMap(({ evidence: lines }) => lines);
  const fact = differing(
    { fact: 'address', planned: endpoint.address },
    'taken',
    `${endpoint.address} is in use already${mac === undefined ? '' : ` (${mac})`}, before the device has it`,
    {
      vantage: best.evidence.vantage.name,
      measured: `in use by ${mac ?? 'a device'}`,
      evidence,
      path: 'ends',
      parts: [{ field: 'address', planned: 'free still', measured: `in use by ${mac ?? 'a device'}` }],
      findings: [
        finding(
          'address-taken',
          endpoint.id,
          {
            address: endpoint.address,
            endpoint: endpoint.id,
            mac,
            says: [
              ...(wrong?.mismatches ?? []),
              ...(identity === undefined ? [] : selfDescription(identity)),
            ],
          },
          { about, evidence },
        ),
      ],
    },
  );
  return judgedFrom(s, [fact]);
}

function byDefault(s: Situation, defaults: DefaultIndex, candidates: readonly DefaultSeen[]): Fact {
  const { endpoint, view } = s;
  const stated: Stated = {
    fact: 'address',
    planned:
      candidates.length === 0
        ? 'its default address'
        : `default ${candidates.map(({ address }) => address).join(', ')}`,
  };
  const vantage = candidates.find(({ looks }) => looks.length > 0)?.looks[0]?.evidence.vantage.name;
  const unproven = (cause: PowerOnCause, reason: string | readonly string[], mend?: string): Fact =>
    open(stated, cause, reason, { vantage, mend, path: 'open' });
  if (candidates.length === 0)
    return unproven(
      'no-default',
      defaults.has(endpoint.device)
        ? 'still at its default: this port has none in the plan; it is judged at stage configured'
        : 'still at its default, which the plan does not give; it is judged at stage configured',
    );
  const bad = candidates.find((one) => one.outcome === 'clash');
  if (bad !== undefined)
    return atDefault(
      stated,
      bad,
      'more than one device',
      `its default address ${bad.address} is claimed by more than one device`,
    );
  const all = candidates.filter(({ outcome }) => outcome === 'answers');
  const doubted = all.find(({ doubt }) => doubt !== undefined);
  const answering = all.filter(({ doubt }) => doubt === undefined);
  const taken = answering.find((one) => belongsTo(view, one).stranger);
  if (taken !== undefined)
    return atDefault(
      stated,
      taken,
      'a device that is in no part of the plan',
      `its default address ${taken.address} is answered by a device that is in no part of the plan`,
    );
  const mine = answering
    .map((one) => ({ one, able: devicesBehind(s, one) }))
    .filter(({ able }) => able.includes(endpoint.id));
  if (mine.length > 0) return amongRivals(stated, mine, vantage);
  if (doubted !== undefined)
    return unproven('default-doubtful', `default address ${doubted.address}: ${sayDoubt(doubted)}`);
  const silent = candidates.find(({ outcome }) => outcome === 'silent');
  if (silent !== undefined)
    return absent(stated, 'unclaimed', `nobody on the link claims its default address ${silent.address}`, {
      vantage,
      path: 'ends',
      evidence: evidenceAt(silent),
      findings: [
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
    });
  const held = answering[0];
  if (held !== undefined)
    return unproven(
      'held-by-another',
      `another device answers on its default address ${held.address}: it cannot be seen until that one has its planned address`,
    );
  return unproven(
    'default-not-asked',
    candidates
      .map(({ address, reasons }) => [`default address ${address}:`, ...reasons].join(' '))
      .join('. '),
  );
}

function amongRivals(
  stated: Stated,
  mine: readonly { readonly one: DefaultSeen; readonly able: readonly string[] }[],
  vantage: string | undefined,
): Fact {
  const rivals = new Set(mine.flatMap(({ able }) => able));
  const addresses = mine.map(({ one }) => one.address).join(', ');
  const notExcluded = mine.flatMap(({ one }) =>
    one.looks.flatMap(({ sighting }) => unexcludedDuplicate(sighting) ?? []),
  );
  if (mine.length < rivals.size)
    return open(
      stated,
      'one-of-several',
      `${addresses} is answered by one of ${[...rivals].sort().join(', ')}: power them on one at a time to tell which`,
      { vantage, path: 'open' },
    );
  return matching(
    stated,
    notExcluded.length === 0
      ? `answers at its default address ${addresses}, from exactly one device`
      : [`answers at its default address ${addresses}, from one device`, ...new Set(notExcluded)],
    { vantage, measured: addresses, cause: 'at-default' },
  );
}

function atDefault(stated: Stated, seen: DefaultSeen, measured: string, reason: string): Fact {
  return differing(stated, seen.outcome === 'clash' ? 'two-devices' : 'taken', reason, {
    vantage: seen.looks[0]?.evidence.vantage.name,
    measured,
    evidence: evidenceAt(seen),
    path: 'ends',
    parts: [{ field: 'default address', planned: 'one device of the plan', measured }],
  });
}

/** Endpoints in the run whose MAC, prefix and identity allow that their device is the one that answers on this default. */
function devicesBehind({ view }: Situation, seen: DefaultSeen): string[] {
  return seen.endpoints
    .filter(({ device }) => view.lookedAt(device))
    .filter((endpoint) => wrongDevice(view.plan, endpoint, seen.claimed, seen.looks) === undefined)
    .map(({ id }) => id);
}
