/** What each default address means at the stage of the run. */

import { ownersOf } from '../evidence/duplicate.js';
import { unexcludedDuplicate } from '../evidence/unexcluded.js';
import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { selfDescription } from '../identity/facts.js';
import { identityOf } from '../identity/seen-identity.js';
import type { DefaultResult, EndpointResult } from '../matrix/matrix.js';
import { indexOf } from '../plan/plan-index.js';
import { type EvidenceLine, seenLine } from '../sighting/evidence-line.js';
import type { MakerOf } from '../site/strangers.js';
import { type Belongs, belongsTo, sayShownBy } from './belongs.js';
import { type DefaultSeen, sayDoubt } from './defaults-seen.js';
import { powerOrder } from './power-order.js';

export function judgeDefaults(
  view: View,
  defaults: readonly DefaultSeen[],
  endpoints: readonly EndpointResult[],
  makerOf: MakerOf = () => undefined,
): { readonly results: DefaultResult[]; readonly findings: Finding[] } {
  const findings = view.stage === 'power-on' ? powerOrder(view, defaults) : [];
  const verdicts = new Map(endpoints.map(({ id, verdict }) => [id, verdict]));
  const isMissing = (id: string): boolean => verdicts.get(id) === 'missing';
  const results = defaults.map((seen): DefaultResult => {
    const macs = seen.duplicate?.macs ?? seen.claimed.claimants.map(({ mac }) => mac);
    const result = { address: seen.address, devices: seen.devices, macs, outcome: seen.outcome };
    if (seen.outcome === 'clash') {
      findings.push(clash(view, seen));
      return { ...result, reasons: seen.reasons };
    }
    if (seen.outcome !== 'answers') return { ...result, reasons: seen.reasons };
    if (seen.doubt !== undefined)
      return { ...result, outcome: doubtOutcome(seen), reasons: [sayDoubt(seen)] };
    const open = seen.looks.flatMap(({ sighting }) => unexcludedDuplicate(sighting) ?? []).slice(0, 1);
    const belongs = belongsTo(view, seen);
    const planned = indexOf(view.plan).at(seen.address);
    if (belongs.stranger && planned.length === 0) {
      findings.push(taken(seen, makerOf));
      return { ...result, reasons: ['a device that is in no part of the plan answers', ...open] };
    }
    if (planned.length > 0)
      return {
        ...result,
        reasons: [`it is also the planned address of ${planned.map(({ id }) => id).join(', ')}`, ...open],
      };
    if (view.stage === 'power-on') return { ...result, reasons: [atPowerOn(belongs), ...open] };
    const { suspects, because } = suspectsOf(view, seen, belongs, isMissing);
    findings.push(stillAnswers(seen, suspects, because));
    return {
      ...result,
      reasons: [
        suspects.length === 0
          ? 'still answers'
          : `still answers: ${suspects.join(' or ')}${because === undefined ? '' : ` (${because})`}`,
        ...open,
      ],
    };
  });
  return { results, findings };
}

/** A gateway or an old holder answers and is nobody's fault; through a router nothing is known. */
function doubtOutcome({ doubt }: DefaultSeen): DefaultResult['outcome'] {
  return doubt?.kind === 'through-router' ? 'unproven' : 'answers';
}

function atPowerOn({ shown, by }: Belongs): string {
  return shown.length === 0
    ? 'one device answers; the plan gives no MAC, MAC prefix or identity that shows whose it is'
    : `one device answers: ${shown.join(' or ')} (${by === undefined ? '' : sayShownBy(by)})`;
}

/** Whom the evidence shows; where it names devices only, or nobody, those whose own addresses are missing. */
function suspectsOf(
  view: View,
  seen: DefaultSeen,
  { shown, by, exact }: Belongs,
  isMissing: (endpoint: string) => boolean,
): { suspects: readonly string[]; because?: string | undefined } {
  const because = by === undefined ? undefined : sayShownBy(by);
  if (exact) return { suspects: shown, because };
  const candidates = shown.length > 0 ? shown : seen.devices;
  const mine = new Set(seen.endpoints.map(({ id }) => id));
  const index = indexOf(view.plan);
  const absent = candidates.flatMap((device) => index.endpointsOf(device)).filter(({ id }) => isMissing(id));
  const absentHere = absent.filter(({ id }) => mine.has(id));
  const silent = (absentHere.length > 0 ? absentHere : absent).map(({ id }) => id);
  if (silent.length > 0) {
    const own = `${silent.length === 1 ? 'its own planned address is' : 'their own planned addresses are'} silent`;
    return { suspects: silent, because: because === undefined ? own : `${because}, and ${own}` };
  }
  return shown.length > 0 ? { suspects: shown, because } : { suspects: [] };
}

function stillAnswers(seen: DefaultSeen, suspects: readonly string[], because: string | undefined): Finding {
  return finding(
    'default-address-still-answers',
    seen.address,
    {
      address: seen.address,
      devices: seen.devices,
      mac: seen.claimed.claimants[0]?.mac,
      suspects,
      because,
    },
    {
      evidence: evidenceAt(seen),
      about: suspects.filter((one) => seen.endpoints.some(({ id }) => id === one)),
    },
  );
}

function taken(seen: DefaultSeen, makerOf: MakerOf): Finding {
  const mac = seen.claimed.claimants[0]?.mac;
  const identity = identityOf(seen.looks);
  return finding(
    'default-address-taken',
    seen.address,
    {
      address: seen.address,
      devices: seen.devices,
      mac,
      maker: mac === undefined ? undefined : makerOf(mac),
      says: identity === undefined ? [] : selfDescription(identity),
    },
    { evidence: evidenceAt(seen), about: seen.endpoints.map(({ id }) => id) },
  );
}

function clash(view: View, seen: DefaultSeen): Finding {
  const macs = seen.duplicate?.macs ?? [];
  return finding(
    'default-address-clash',
    seen.address,
    {
      address: seen.address,
      devices: seen.devices,
      macs,
      sure: seen.duplicate?.sure ?? 'likely',
      owners: ownersOf(view.plan, macs),
    },
    { evidence: seen.duplicate?.evidence ?? [], about: seen.endpoints.map(({ id }) => id) },
  );
}

export function evidenceAt({ claimed, looks, address }: DefaultSeen): EvidenceLine[] {
  const best = looks[0];
  const answered = (best?.responses ?? []).filter(({ state }) => state === 'answered');
  return [
    ...claimed.claimants.flatMap(({ evidence }) => evidence),
    ...(best === undefined || answered.length === 0
      ? []
      : [
          seenLine(
            best.evidence,
            `${address}: ${answered.map(({ what, detail }) => `${what} ${detail}`).join(', ')}`,
          ),
        ]),
  ];
}
