/** Cabling (DESIGN 6): links, switch ports, speed, MTU and portals of every endpoint against the plan. Pure. */
import type { Endpoint, Plan } from '../plan/model.js';
import type { Evidence } from '../sighting/types.js';
import { type Ground, groundOf } from './ground.js';
import { linkDown, linkStateOf, speedBelowPlan, speedOf, stateOf } from './link-state.js';
import { type FoundLink, findLink } from './links.js';
import { locate, macsOf } from './locate.js';
import { mtuBelowPlan } from './mtu.js';
import { judgePortals } from './portals.js';
import { isWrong, notInPlannedPort, type Placed, plannedHole, wrongSwitchPort } from './switch-port.js';
import type { CablingJudgement, EndpointCabling, Hole, Observed } from './types.js';

export type { CablingJudgement, EndpointCabling } from './types.js';

/** Devices that no run looked at (`--only`) are left out: they have no entry and no finding. */
export function judgeCabling(plan: Plan, evidence: readonly Evidence[]): CablingJudgement {
  const ground = groundOf(plan, evidence);
  const looked = plan.endpoints.filter((endpoint) => ground.view.lookedAt(endpoint.device));
  const links = new Map(looked.map((endpoint) => [endpoint.id, findLink(ground, endpoint)]));
  const placed = looked.map((endpoint) => placeOf(ground, endpoint, links.get(endpoint.id)));
  const devices = new Set(looked.map(({ device }) => device));
  const portals = new Map([...devices].map((device) => [device, judgePortals(ground, device)]));
  const perEndpoint = new Map(
    placed.map((one) => {
      const { id, device } = one.endpoint;
      const listed = portals.get(device)?.endpoints.get(id);
      return [id, judgeEndpoint(ground, one, links.get(id), placed, listed)] as const;
    }),
  );
  return { perEndpoint, findings: [...portals.values()].flatMap((judged) => judged.findings) };
}

function placeOf(ground: Ground, endpoint: Endpoint, found: FoundLink | undefined): Placed {
  const place = endpoint.virtual
    ? undefined
    : locate(ground, endpoint, macsOf(ground, endpoint, found?.link));
  return {
    endpoint,
    place,
    planned: plannedHole(ground, endpoint),
    wrong: isWrong(ground, endpoint, place),
    knownUp: linkStateOf(found?.link) === 'up' || ground.seenMac(endpoint) !== undefined,
  };
}

function judgeEndpoint(
  ground: Ground,
  placed: Placed,
  found: FoundLink | undefined,
  all: readonly Placed[],
  listed: Observed | undefined,
): EndpointCabling {
  const { endpoint, place } = placed;
  const elsewhere = notInPlannedPort(placed);
  // Where the cable ends: the measured port, else the planned one while nothing speaks against it.
  const end = placed.wrong || elsewhere !== undefined ? edgeOf(placed) : (edgeOf(placed) ?? placed.planned);
  const speed = speedOf(found, end, ground.switches.get(end?.switch ?? '')?.ports ?? []);
  const down =
    elsewhere === undefined
      ? linkDown(endpoint, found, placed.wrong ? undefined : placed.planned)
      : undefined;
  const isDown = (down?.findings.length ?? 0) > 0;
  const observed = [
    ...(down === undefined ? [] : [down]),
    ...(isDown ? [] : [speedBelowPlan(endpoint, speed)]),
    ...(isDown ? [] : [mtuBelowPlan(ground, endpoint, found)]),
    elsewhere ?? wrongSwitchPort(ground, placed, all),
    ...(listed === undefined ? [] : [listed]),
  ];
  const linkState = isDown ? 'down' : (linkStateOf(found?.link) ?? stateOf(end?.port.operStatus));
  const measuredSwitch = measuredSwitchOf(ground, placed);
  const differences = observed.flatMap((part) => part.differences);
  const verdict =
    differences.length > 0 ? ('differs' as const) : linkState === 'up' ? ('matches' as const) : undefined;
  const seenUp =
    linkState === 'up' && found === undefined && end !== undefined
      ? [`switch ${end.switch} says that ${end.port.name} has link`]
      : [];
  return {
    differences,
    reasons: [...observed.flatMap((part) => part.reasons), ...(endpoint.address === undefined ? seenUp : [])],
    findings: observed.flatMap((part) => part.findings),
    ...(found === undefined ? {} : { link: found.link }),
    ...(place === undefined
      ? {}
      : { cabling: { switch: place.switch, port: place.port.name, mac: place.mac, by: place.by } }),
    ...(measuredSwitch === undefined ? {} : { measuredSwitch }),
    ...(speed === undefined || isDown ? {} : { measuredSpeedMbps: speed.mbps }),
    ...(linkState === undefined ? {} : { linkState }),
    ...(endpoint.address !== undefined || verdict === undefined ? {} : { verdict }),
  };
}

/**
 * The port where the cable itself ends. Not one that leads on to it, and not one of another switch while the planned switch,
 * which could not be read, may be what lies behind it.
 */
function edgeOf({ endpoint, place, wrong }: Placed): Hole | undefined {
  if (place === undefined || place.leadsOn !== undefined || place.orElse !== undefined) return undefined;
  return endpoint.switch === undefined || endpoint.switch === place.switch || wrong ? place : undefined;
}

function measuredSwitchOf(ground: Ground, placed: Placed): string | undefined {
  const edge = edgeOf(placed);
  if (edge !== undefined) return edge.switch;
  // Behind a link to a switch that could not be read: that switch it is. One that was read would show the port itself.
  const to = placed.place?.leadsOn?.to;
  return to !== undefined && ground.switches.get(to)?.toldAll !== true ? to : undefined;
}
