/** iSCSI portals: the lists of all answers of one device joined, against the plan (DESIGN 6; RFC 7143 appendix C). */
import type { Cables } from '../cabling/cables.js';
import {
  type DevicePortals,
  type ListedPortal,
  listersNear,
  type PortalSeen,
  portalName,
  portalSeen,
  unplannedPortals,
} from '../cabling/portals.js';
import { type Finding, finding } from '../findings/index.js';
import { isLinkLocal } from '../plan/address.js';
import type { Endpoint } from '../plan/model.js';
import { list } from '../text/sentence.js';
import { type CableCause, unproven } from './cable-causes.js';
import { differing, type Fact, matching, type Stated } from './fact.js';

/** Stated of a data endpoint that plans iSCSI, and of another whose answer lists portals that nobody planned. */
export function portalsFact(cables: Cables, endpoint: Endpoint, device: DevicePortals): Fact | undefined {
  const seen = portalSeen(cables, endpoint, device);
  const own = seen === undefined ? undefined : ownPortal(endpoint, seen);
  if (own?.state === 'differs') return own;
  const extra = unplannedPortals(cables, endpoint.device, device).filter(
    (portal) => !isLinkLocal(portal.address) && listersNear(cables, portal).includes(endpoint.id),
  );
  return extra.length === 0 ? own : unplanned(own, extra, seen?.vantage ?? '');
}

function ownPortal(endpoint: Endpoint, seen: PortalSeen): Fact {
  const { name, listed, answer, vantage, device } = seen;
  const stated: Stated = { fact: 'portals', planned: `lists ${name}` };
  const more = { vantage };
  if (listed !== undefined) {
    const tags = [...listed.tags].map(String);
    const group = tags.length === 0 ? '' : `, portal group ${list(tags)}`;
    const named =
      device.names.size === 0
        ? ''
        : `; the device lists portals by name as well (${list([...device.names], 3)}), which were not compared`;
    const reason = `listed as iSCSI portal${group}${named}`;
    const cause: CableCause = named === '' ? 'in-portal-group' : 'lists-by-name';
    return matching(stated, reason, {
      ...more,
      ...(tags.length === 0 && named === '' ? {} : { cause }),
      measured: 'listed',
      evidence: [`${name} stands in the answer of ${list([...listed.listers], 4)}`],
    });
  }
  if (answer?.outcome === 'authentication-required') {
    const cause: CableCause = 'asks-for-authentication';
    return matching(
      stated,
      'the portal is there and asks for authentication, so its list could not be read',
      {
        ...more,
        cause,
        measured: 'there, asks for authentication',
        evidence: [`${name}: ${answer.detail ?? 'asks for authentication'}`],
      },
    );
  }
  if (device.names.size > 0)
    return unproven(
      stated,
      {
        cause: 'not-comparable',
        reason: `not comparable: the device lists portals by name (${list([...device.names], 3)})`,
      },
      more,
    );
  if (device.cut)
    return unproven(
      stated,
      {
        cause: 'not-comparable',
        reason: 'not comparable: the list of the device is longer than what is kept',
      },
      more,
    );
  if (!seen.takesConnections)
    return unproven(
      stated,
      {
        cause: 'not-asked',
        reason:
          answer?.outcome === 'not-run'
            ? `its list was not asked for: ${answer.reason}`
            : `${name} takes no connection, and no other portal of the device lists it`,
        ...(answer?.outcome === 'not-run' && answer.mend !== undefined ? { mend: answer.mend } : {}),
      },
      more,
    );
  if (!device.showsOthers)
    return unproven(
      stated,
      {
        cause: 'not-comparable',
        reason:
          device.listed.size === 0
            ? 'not comparable: no portal of the device gave a list'
            : 'not comparable: each portal of the device lists itself only, and this one gave no list',
        mend: `ask for the list of ${name} from a host that may use it`,
      },
      more,
    );
  return missing(endpoint, stated, name, [...device.listed.keys()], vantage);
}

function missing(
  endpoint: Endpoint,
  stated: Stated,
  portal: string,
  listed: readonly string[],
  vantage: string,
): Fact {
  const evidence = [`SendTargets=All at the portals of ${endpoint.device}, joined: ${list(listed, 16)}`];
  const cause: CableCause = 'not-listed';
  return differing(stated, cause, `${portal} stands in no list that the device gives`, {
    measured: 'not listed',
    vantage,
    evidence,
    findings: [
      finding(
        'portal-missing',
        endpoint.id,
        { endpoint: endpoint.id, portal, listed },
        { evidence, about: [endpoint.id] },
      ),
    ],
  });
}

/** The finding of unplanned portals is the device's. */
function unplanned(own: Fact | undefined, extra: readonly ListedPortal[], vantage: string): Fact {
  const names = extra.map(({ address, port }) => portalName(address, port));
  const planned = 'only portals of the plan';
  const measured = `lists ${list(names, 4)}`;
  const cause: CableCause = 'lists-unplanned';
  return differing(
    { fact: 'portals', planned: own?.planned ?? planned },
    cause,
    `the device lists ${list(names, 4)}, which the plan does not have`,
    {
      measured,
      vantage,
      evidence: extra.map(evidenceOf),
      parts: [{ field: 'portals', planned, measured }],
    },
  );
}

function evidenceOf({ address, port, targets, listers }: ListedPortal): string {
  return `${portalName(address, port)} listed for ${list([...targets], 2)} in the answer of ${list([...listers], 8)}`;
}

/** What stands with the device: all portals that nobody planned in one finding, those good on one link only in a note of their own. */
export function portalFindings(cables: Cables, device: string, portals: DevicePortals): Finding[] {
  const all = unplannedPortals(cables, device, portals);
  const local = all.filter(({ address }) => isLinkLocal(address));
  const others = all.filter(({ address }) => !isLinkLocal(address));
  const more = (some: readonly ListedPortal[]) => ({
    evidence: some.map(evidenceOf),
    about: [...new Set(some.flatMap(({ listers }) => [...listers]))],
  });
  return [
    ...(others.length === 0
      ? []
      : [
          finding(
            'portal-unplanned',
            device,
            { device, portals: others.map((portal) => whereIs(cables, device, portal)) },
            more(others),
          ),
        ]),
    ...(local.length === 0
      ? []
      : [
          finding(
            'portal-link-local',
            device,
            { device, portals: local.map(({ address, port }) => portalName(address, port)) },
            more(local),
          ),
        ]),
  ];
}

function whereIs(cables: Cables, device: string, { address, port }: ListedPortal) {
  const network = cables.view.networkAt(address)?.name;
  const keptFor =
    network === undefined
      ? []
      : cables.plan.endpoints
          .filter((e) => e.network === network && (e.role === 'data' || e.device === device))
          .map((e) => (e.controller === undefined ? e.device : `${e.device}/${e.controller}`));
  return {
    portal: portalName(address, port),
    network,
    keptFor: [...new Set(keptFor)],
    plannedFor: cables.plan.endpoints.find((endpoint) => endpoint.address === address)?.id,
  };
}
