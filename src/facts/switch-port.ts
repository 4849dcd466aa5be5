/** Where the cable of an endpoint ends, against where the plan has it. Aggregated links: members.ts. */
import { unread } from '../cabling/agents.js';
import type { Cables } from '../cabling/cables.js';
import type { CableSeen } from '../cabling/index.js';
import { stateOf } from '../cabling/link-state.js';
import { isPlannedPort, type Place } from '../cabling/locate.js';
import { isInAnotherPort, type Placed, partnerOf } from '../cabling/placed.js';
import { sayPort } from '../cabling/port-name.js';
import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { list } from '../text/sentence.js';
import { type CableCause, sayUntold, unproven, type Why } from './cable-causes.js';
import { type Fact, matching, type Stated } from './fact.js';
import { membersFact } from './members.js';
import { differs, sayPlanned, sayPortAt, unclearPort } from './switch-port-words.js';

/** `all`: every endpoint that was looked at, to find the partner of a swap. */
export function switchPortFact(
  cables: Cables,
  endpoint: Endpoint,
  seen: CableSeen,
  all: readonly Placed[],
): Fact | undefined {
  if (endpoint.switch === undefined) return undefined;
  if (endpoint.switchPorts.length > 1) return membersFact(cables, endpoint, seen);
  const { placed } = seen;
  const { place, planned } = placed;
  const stated: Stated = { fact: 'switch-port', planned: sayPlanned(endpoint.switch, endpoint.switchPort) };
  if (endpoint.virtual)
    return unproven(stated, {
      cause: 'virtual-address',
      reason: 'its address may move between devices, so it has no one switch port',
    });
  if (place !== undefined && placed.wrong)
    return wrongPlace(cables, endpoint, stated, place, partnerOf(placed, all));
  if (isInAnotherPort(placed) && planned !== undefined) {
    const { taken } = placed;
    const by =
      taken === undefined
        ? `${planned.switch} says that ${planned.port.name} has no link, and the endpoint is up`
        : `${planned.switch} has ${taken} at ${planned.port.name}, and the endpoint is up`;
    return differs(endpoint, stated, {
      cause: taken === undefined ? 'in-another-port' : 'something-else-there',
      measured: 'another port, not identified',
      by,
      vantage: cables.switches.get(planned.switch)?.vantage ?? '',
    });
  }
  if (place !== undefined && isAsPlanned(cables, placed, place))
    return asPlanned(stated, place, placed.inItsGroup);
  const why = whyOpen(cables, seen);
  return unproven(stated, why, place === undefined ? {} : { vantage: place.vantage });
}

function isAsPlanned(cables: Cables, { endpoint, inItsGroup }: Placed, place: Place): boolean {
  if (inItsGroup) return true;
  if (place.switch !== endpoint.switch) return false;
  const ports = cables.switches.get(place.switch)?.ports ?? [];
  if (endpoint.switchPort === undefined) return place.leadsOn === undefined;
  return isPlannedPort(ports, place.port, endpoint, place.by);
}

function asPlanned(stated: Stated, place: Place, inItsGroup: boolean): Fact {
  const measured = `${place.switch} ${sayPort(place.port.name)}`;
  const more = { measured, vantage: place.vantage, evidence: [place.told] };
  if (!inItsGroup) return matching(stated, place.told, more);
  const cause: CableCause = 'in-its-group';
  return matching(
    stated,
    `${place.told}; the planned port is part of the same aggregated link and has link`,
    {
      ...more,
      cause,
    },
  );
}

function wrongPlace(
  cables: Cables,
  endpoint: Endpoint,
  stated: Stated,
  place: Place,
  swappedWith: string | undefined,
): Fact {
  const by =
    place.by === 'LLDP'
      ? `LLDP at ${place.switch}`
      : place.by === 'fabric login'
        ? `login of ${place.mac} at ${place.switch}`
        : `forwarding table of ${place.switch}, MAC ${place.mac}`;
  const fabric = otherFabric(cables, endpoint, place);
  const cause: CableCause =
    fabric !== undefined
      ? 'in-another-fabric'
      : place.switch === endpoint.switch
        ? 'in-another-port'
        : 'on-another-switch';
  const measured = describePlace(place);
  const told = { cause, measured, by, told: place.told, vantage: place.vantage, swappedWith };
  if (fabric === undefined) return differs(endpoint, stated, told);
  const facts = {
    endpoint: endpoint.id,
    planned: stated.planned,
    plannedFabric: endpoint.network,
    measured,
    measuredFabric: fabric.name,
    swappedWith,
  };
  const about = [endpoint.id, ...(swappedWith === undefined ? [] : [swappedWith])];
  return {
    ...differs(endpoint, stated, told),
    path: 'open',
    findings: [finding('wrong-fabric', endpoint.id, facts, { evidence: [place.told], about })],
  };
}

/** The login is at a switch of another fabric: by the plan, or by the name that the switches give their fabrics. */
function otherFabric(
  cables: Cables,
  endpoint: Endpoint,
  place: Place,
): { readonly name: string | undefined } | undefined {
  if (place.by !== 'fabric login') return undefined;
  const { fabrics } = cables;
  const byPlan = fabrics.fabricOf(place.switch);
  if (byPlan !== undefined && endpoint.network !== undefined)
    return byPlan === endpoint.network ? undefined : { name: byPlan };
  const here = fabrics.read.get(place.switch)?.fabricName;
  const there = fabrics.read.get(endpoint.switch ?? '')?.fabricName;
  return here !== undefined && there !== undefined && here !== there ? { name: undefined } : undefined;
}

function describePlace(place: Place): string {
  if (place.leadsOn !== undefined) {
    const { to, why } = place.leadsOn;
    return `${sayPortAt(place)} or beyond it (${to === undefined ? why : `it leads to ${to}`})`;
  }
  return list([place, ...(place.orElse ?? [])].map(sayPortAt), 4, 'or');
}

function whyOpen(cables: Cables, seen: CableSeen): Why {
  const { endpoint, place, planned } = seen.placed;
  const name = endpoint.switch ?? '';
  const tables = cables.switches.get(name);
  if (place !== undefined && place.switch !== name)
    return {
      cause: 'may-lie-behind',
      reason: `${place.told}; ${name} may lie behind that port, and ${tables === undefined ? 'was not read' : 'told no whole table'}`,
      mend: `let ${name} be read by SNMP, then check again`,
    };
  if (tables === undefined) {
    const why = sayUntold('its switch port', unread(cables, name));
    return why.cause === 'agent-silent' ? { ...why, cause: 'switch-not-read' } : why;
  }
  if (endpoint.switchPort !== undefined && place?.by !== 'fabric login') {
    const unclear = unclearPort(cables, name, endpoint.switchPort);
    if (unclear !== undefined) return unclear;
  }
  if (place?.by === 'fabric login')
    return {
      cause: 'port-unknown',
      reason: `${place.told}, and which port that is by its label is not told`,
      mend: `compare the label of the cable at ${name}`,
    };
  if (place?.leadsOn !== undefined)
    return { cause: 'leads-on', reason: `${place.told}, and that port leads on (${place.leadsOn.why})` };
  const { taken } = seen.placed;
  if (taken !== undefined && planned !== undefined)
    return {
      cause: 'something-else-there',
      reason: `${sayPortAt(planned)} has ${taken} in it, and the endpoint is seen nowhere`,
      mend: `compare the label of the cable in ${sayPortAt(planned)}`,
    };
  if (endpoint.media === 'fc') return whyNoLogin(cables, endpoint);
  if (planned !== undefined && stateOf(planned.port.operStatus) === 'down')
    return {
      cause: 'link-down',
      reason: `${sayPortAt(planned)} has no link, and the endpoint is seen nowhere else`,
    };
  if (tables.truncated !== undefined)
    return {
      cause: 'switch-cut-short',
      reason: `${name} could be read in part only (${tables.truncated}): the switch port is not proven`,
    };
  if (!tables.hasTable)
    return { cause: 'no-table', reason: `${name} tells no forwarding table: the switch port is not proven` };
  if (!tables.toldAll(cables.view.networkOf(endpoint)?.vlan))
    return {
      cause: 'one-vlan-only',
      reason: `${name} tells the table of one VLAN only, and does not know its MAC there: the switch port is not proven`,
      mend: `let ${name} tell all its VLANs by SNMP (Q-BRIDGE-MIB), or compare the label`,
    };
  return {
    cause: 'mac-not-learned',
    reason: `${name} does not know its MAC: the switch port is not proven`,
    mend: 'let the device send something (a ping through it will do), then check again',
  };
}

function whyNoLogin(cables: Cables, { wwpn, switch: name = '' }: Endpoint): Why {
  if (wwpn === undefined)
    return {
      cause: 'no-port-name',
      reason: 'the plan gives no port name (wwpn) for it, so no login tells its switch port',
      mend: 'write its port name into the plan (wwpn), or compare the label',
    };
  if (!cables.fabrics.read.has(name))
    return { cause: 'fabric-not-read', reason: `${name} tells no logins: the switch port is not proven` };
  return { cause: 'not-logged-in', reason: `${wwpn} is not logged in at ${name}` };
}
