/**
 * Fact `box`: the device behind the address is the planned one. Settled by its planned MAC, its MAC prefix, or what it says of itself
 * before any login (SNMP system group and serial numbers, web title, certificate, SSH line, Redfish root) against the plan's patterns.
 */

import { finding } from '../findings/index.js';
import { weakOnly } from '../identity/device-fit.js';
import { unreadOf } from '../identity/unread.js';
import type { Device, Endpoint } from '../plan/model.js';
import { toldLine } from '../sighting/evidence-line.js';
import { list } from '../text/sentence.js';
import { differing, type Fact, matching, open, type Stated } from './fact.js';
import { type Situation, seenBy } from './situation.js';

export type BoxCause =
  | 'answered-by-partner'
  | 'other-device'
  | 'identity-differs'
  | 'nobody-there'
  | 'shared-address'
  | 'not-identified'
  | 'prefix-only';

/** `there`: a device answers at the address, and by one alone. */
export function boxFact(s: Situation, there: boolean): Fact | undefined {
  const { endpoint, fit, best } = s;
  const stated: Stated = { fact: 'box', planned: planned(endpoint, s.device) };
  const vantage = best?.evidence.vantage.name;
  if (there && s.same !== undefined && (s.wrong === undefined || ofOneDevice(s)))
    return samePartner(s, stated);
  if (there && s.wrong !== undefined) return otherDevice(s, stated);
  if (!fit.stated) return undefined;
  if (!there)
    return open(
      stated,
      s.duplicate === undefined ? 'nobody-there' : 'shared-address',
      s.duplicate === undefined
        ? 'nothing answered that could be identified'
        : 'two devices answer here, so neither can be told',
      { vantage },
    );
  if (weakOnly(fit)) return weakDiffers(s, stated);
  const proof = [...fit.strong, ...fit.weak];
  const { lines, untold } =
    best === undefined ? { lines: [], untold: [] } : unreadOf(fit.unread, endpoint, best.sighting);
  const agent = agentHasIt(s) ? ['the agent of the device has it on a port of its own'] : [];
  if (proof.length > 0 || agent.length > 0)
    return matching(stated, [...lines, ...(proof.length > 0 ? [] : agent)], {
      vantage,
      measured: list(proof.length > 0 ? proof : agent),
    });
  if (fit.prefix !== undefined && fit.unread.length === 0)
    return matching(stated, '', { vantage, measured: `its MAC has the prefix ${fit.prefix}` });
  const address = best?.sighting.address ?? '';
  const why =
    untold.length === 0 ? '' : `: nothing that is planned at this port tells the ${untold.join(' or the ')}`;
  return open(
    stated,
    fit.prefix === undefined ? 'not-identified' : 'prefix-only',
    [
      ...lines,
      fit.prefix === undefined
        ? `the device at ${address} was not identified${why}`
        : `nothing but the MAC prefix shows which device is at ${address}${why}`,
    ],
    { vantage, mend: 'plan its MAC, or an SNMP credential that reads its serial number' },
  );
}

function planned(endpoint: Endpoint, device: Device | undefined): string {
  const controller = endpoint.virtual ? undefined : endpoint.controller;
  const patterns = [device?.identity, controller === undefined ? undefined : device?.controllers[controller]]
    .flatMap((one) => Object.entries(one ?? {}))
    .filter(([, value]) => value !== undefined && value !== '')
    .map(([field, value]) => `${field} ${value}`);
  const macs =
    endpoint.mac !== undefined
      ? [`MAC ${endpoint.mac}`]
      : (device?.macPrefixes ?? []).map((prefix) => `MAC ${prefix}*`);
  const marks = [...macs, ...patterns];
  const name = controller === undefined ? endpoint.device : `${endpoint.device}/${controller}`;
  return marks.length === 0 ? name : `${name}: ${marks.join(', ')}`;
}

function ofOneDevice({ same, endpoint, view }: Situation): boolean {
  return view.plan.endpoints.some(({ id, device }) => id === same?.sameAs && device === endpoint.device);
}

function samePartner(s: Situation, stated: Stated): Fact {
  const { endpoint, same, best } = s;
  const sameAs = same?.sameAs ?? '';
  const by = same?.by ?? 'MAC';
  const value = same?.value ?? '';
  return differing(
    stated,
    'answered-by-partner',
    `the device that answers here answers at ${sameAs} as well (one ${by}, ${value})`,
    {
      vantage: best?.evidence.vantage.name,
      measured: same?.sure === true ? `the device of ${sameAs}` : `the same device as ${sameAs}`,
      path: 'ends',
      evidence: [seenBy(s, `${endpoint.address ?? ''} and ${sameAs} show one ${by}, ${value}`)],
      findings: [
        finding(
          'answered-by-partner',
          endpoint.id,
          {
            endpoint: endpoint.id,
            address: endpoint.address ?? '',
            sameAs,
            by,
            value,
            sure: same?.sure ?? false,
          },
          {
            about: [endpoint.id],
            evidence: [seenBy(s, `${endpoint.address ?? ''} and ${sameAs} show one ${by}, ${value}`)],
          },
        ),
      ],
    },
  );
}

function otherDevice(s: Situation, stated: Stated): Fact {
  const { wrong, swappedWith, endpoint } = s;
  const mismatches = wrong?.mismatches ?? [];
  const isInstead = wrong?.isInstead;
  const whose =
    swappedWith !== undefined
      ? `; swapped with ${swappedWith}`
      : isInstead !== undefined
        ? `; it fits ${isInstead}`
        : '';
  return differing(stated, 'other-device', `the wrong device: ${mismatches.join('; ')}${whose}`, {
    vantage: s.best?.evidence.vantage.name,
    measured: isInstead ?? mismatches.join('; '),
    path: 'ends',
    evidence: wrong?.evidence,
    parts: wrong?.differing,
    findings: [
      finding(
        'wrong-device',
        endpoint.id,
        { address: endpoint.address ?? '', endpoint: endpoint.id, mismatches, isInstead, swappedWith },
        {
          evidence: wrong?.evidence ?? [],
          about: [...new Set([endpoint.id, ...(swappedWith === undefined ? [] : [swappedWith])])],
        },
      ),
    ],
  });
}

/** The right device by a mark of its own, and a name in it that is not the planned one. */
function weakDiffers(s: Situation, stated: Stated): Fact {
  const { fit, endpoint } = s;
  const evidence = fit.differing.map((one) =>
    seenBy(s, `${one.field} is "${one.measured}", planned "${one.planned}"`),
  );
  return differing(
    stated,
    'identity-differs',
    `the right device (${list(fit.strong)}), but ${list(fit.differing.map((one) => `${one.field} is "${one.measured}", planned "${one.planned}"`))}`,
    {
      vantage: s.best?.evidence.vantage.name,
      measured: list(fit.differing.map(({ measured }) => measured)),
      evidence,
      parts: fit.differing,
      findings: [
        finding(
          'identity-differs',
          endpoint.id,
          { endpoint: endpoint.id, because: fit.strong, differing: fit.differing },
          { about: [endpoint.id], evidence: evidence.map(toldLine) },
        ),
      ],
    },
  );
}

/** The agent of the device names the address, or the MAC that claims it, as one of its own ports. */
function agentHasIt({ cabling, claimed, endpoint }: Situation): boolean {
  const link = cabling?.link;
  if (link === undefined) return false;
  return (
    link.addresses.includes(endpoint.address ?? '') ||
    (link.mac !== undefined && claimed.claimants.some(({ mac }) => mac === link.mac))
  );
}
