/** The facts about link and cable of every endpoint, from what src/cabling has seen. Pure. */
import { type Cables, cablesIn } from '../cabling/cables.js';
import { type CableSeen, seeCable } from '../cabling/index.js';
import { switchesOfLegs } from '../cabling/legs.js';
import { measuredSwitchOf } from '../cabling/placed.js';
import { type DevicePortals, portalsOf } from '../cabling/portals.js';
import type { View } from '../evidence/view.js';
import type { Finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import type { LinkSighting } from '../sighting/types.js';
import { notLookedAt } from './cable-causes.js';
import type { Fact } from './fact.js';
import { lightFact } from './light.js';
import { linkFact, linkTold } from './link.js';
import { mtuFact } from './mtu.js';
import { portalFindings, portalsFact } from './portals.js';
import { slowestEnd, speedFact } from './speed.js';
import { supplyFindings } from './supplies.js';
import { switchPortFact } from './switch-port.js';
import { networkVlans, vlanFact } from './vlan.js';

/** What links, switch tables, logins, MTU and portals tell of one endpoint. */
export interface EndpointCabling {
  /** One for each thing that the plan states of its link and cable, in the order of the matrix's columns. */
  readonly facts: readonly Fact[];
  /** The port as the device's own agent tells it. */
  readonly link?: LinkSighting | undefined;
  /** Where the switches see the endpoint. */
  readonly cabling?:
    | { readonly switch: string; readonly port: string; readonly mac: string; readonly by: string }
    | undefined;
  /** Switch of the plan that the cable ends in, where that is sure and it is one. */
  readonly measuredSwitch?: string | undefined;
  /** Switches of the members of an aggregated link that carry it. */
  readonly switches?: ReturnType<typeof switchesOfLegs> | undefined;
  /** Fabric of the plan (a network) that its login was seen in. */
  readonly measuredFabric?: string | undefined;
  /** The lower of the speeds at both ends of an up link. */
  readonly measuredSpeedMbps?: number | undefined;
}

export interface CablingJudgement {
  /** Every endpoint, by id, with the findings about it. */
  readonly perEndpoint: ReadonlyMap<string, EndpointCabling>;
  /** Findings about whole devices, which stand at no endpoint. */
  readonly findings: readonly Finding[];
}

export function judgeCables(view: View): CablingJudgement {
  const cables = cablesIn(view);
  const { plan } = view;
  const seen = new Map(
    plan.endpoints
      .filter(({ device }) => view.lookedAt(device))
      .map((endpoint) => [endpoint.id, seeCable(cables, endpoint)]),
  );
  const placed = [...seen.values()].map((one) => one.placed);
  const devices = [...new Set(placed.map(({ endpoint }) => endpoint.device))];
  const portals = new Map(devices.map((device) => [device, portalsOf(cables, device)]));
  const facts = plan.endpoints.map((endpoint) => {
    const cable = seen.get(endpoint.id);
    return cable === undefined
      ? { endpoint, cable, facts: outOfScope(cables, endpoint) }
      : { endpoint, cable, facts: factsOf(cables, cable, placed, portals.get(endpoint.device)) };
  });
  const together = networkVlans(
    facts.flatMap((one) => one.facts.map((fact) => [one.endpoint, fact] as const)),
  );
  const perEndpoint = new Map(
    facts.map((one) => {
      const final = one.facts.map((fact) => together.get(fact) ?? fact);
      return [one.endpoint.id, entryOf(cables, one.endpoint, one.cable, final)] as const;
    }),
  );
  return {
    perEndpoint,
    findings: devices.flatMap((device) => [
      ...portalFindings(cables, device, portals.get(device) ?? portalsOf(cables, device)),
      ...supplyFindings(cables, device),
    ]),
  };
}

function factsOf(
  cables: Cables,
  cable: CableSeen,
  all: readonly CableSeen['placed'][],
  portals: DevicePortals | undefined,
): Fact[] {
  const { endpoint } = cable;
  const told = linkTold(cables, cable);
  const facts = [
    linkFact(cables, endpoint, cable),
    lightFact(cables, endpoint, cable),
    speedFact(cables, endpoint, cable, told),
    switchPortFact(cables, endpoint, cable, all),
    vlanFact(cables, endpoint, cable),
    mtuFact(cables, endpoint, cable),
    portals === undefined ? undefined : portalsFact(cables, endpoint, portals),
  ];
  return facts.filter((fact) => fact !== undefined);
}

/** What the plan states of an endpoint that no run looked at: as it would be judged on nothing, and nobody is accused. */
function outOfScope(cables: Cables, endpoint: Endpoint): Fact[] {
  const bare = seeCable(cables, endpoint);
  const portals = portalsOf(cables, endpoint.device);
  return (
    factsOf(cables, bare, [], portals)
      // The link of an endpoint with an address is stated only where it was told.
      .filter(({ fact }) => fact !== 'link' || endpoint.address === undefined)
      .map(({ fact, planned }) => notLookedAt({ fact, planned }, endpoint.device))
  );
}

function entryOf(
  cables: Cables,
  endpoint: Endpoint,
  cable: CableSeen | undefined,
  facts: readonly Fact[],
): EndpointCabling {
  if (cable === undefined) return { facts };
  const { found, placed, legs } = cable;
  const { place } = placed;
  const told = linkTold(cables, cable);
  const login = endpoint.wwpn === undefined ? undefined : cables.fabrics.at(endpoint.wwpn)[0];
  const speed = told?.state === 'down' ? undefined : slowestEnd(endpoint, cable);
  const switches = switchesOfLegs(legs);
  const measuredSwitch = legs.length === 0 ? measuredSwitchOf(cables, placed) : undefined;
  const fabric = login === undefined ? undefined : cables.fabrics.fabricOf(login.switch);
  return {
    facts,
    ...(found === undefined ? {} : { link: found.link }),
    ...(place === undefined
      ? {}
      : { cabling: { switch: place.switch, port: place.port.name, mac: place.mac, by: place.by } }),
    ...(measuredSwitch === undefined ? {} : { measuredSwitch }),
    ...(switches.length === 0 ? {} : { switches }),
    ...(fabric === undefined ? {} : { measuredFabric: fabric }),
    ...(speed === undefined ? {} : { measuredSpeedMbps: speed.mbps }),
  };
}
