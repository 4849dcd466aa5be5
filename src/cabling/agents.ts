/** Why no device told something of an endpoint: its device's own, or the switch that its cable is planned to end in. */
import type { Endpoint } from '../plan/model.js';
import type { Cause } from '../sighting/types.js';
import type { Cables } from './cables.js';
import type { FoundLink } from './links.js';

export type Untold =
  /** The plan names no SNMP credential for it. */
  | { readonly kind: 'no-credential'; readonly who: string }
  /** The credential has no secret at hand. */
  | { readonly kind: 'secret-missing'; readonly who: string; readonly credential: string }
  /** Asked, and no usable answer. */
  | { readonly kind: 'agent-silent'; readonly who: string; readonly cause: Cause | undefined }
  /** It answered, and none of its ports is this one. */
  | { readonly kind: 'port-not-found'; readonly who: string; readonly wanted: string | undefined }
  /** Its port was found, and says nothing of the thing wanted. */
  | { readonly kind: 'not-told'; readonly who: string; readonly port: string }
  /** The plan gives the device no address to ask. */
  | { readonly kind: 'no-agent'; readonly who: string };

export function deviceUntold(cables: Cables, endpoint: Endpoint, found: FoundLink | undefined): Untold {
  const who = endpoint.device;
  if (found !== undefined)
    return {
      kind: 'not-told',
      who,
      port: found.link.ifName ?? found.link.ifDescr ?? `${found.link.ifIndex}`,
    };
  if (cables.links.has(who)) return { kind: 'port-not-found', who, wanted: endpoint.interface };
  return unread(cables, who);
}

/** Why nothing was read from the agents of a device or switch. */
export function unread(cables: Cables, who: string): Untold {
  const endpoints = cables.endpointsOf(who);
  const credential = cables.device(who)?.snmp ?? endpoints.find(({ snmp }) => snmp !== undefined)?.snmp;
  if (credential === undefined) return { kind: 'no-credential', who };
  const answers = endpoints.flatMap(({ address }) =>
    address === undefined ? [] : cables.view.seen(address).map(({ sighting }) => sighting.snmp),
  );
  if (answers.some((snmp) => snmp.outcome === 'not-run' && snmp.cause === 'secret-missing'))
    return { kind: 'secret-missing', who, credential };
  if (answers.length === 0) return { kind: 'no-agent', who };
  const cause = answers.flatMap((snmp) => (snmp.outcome === 'replied' ? [] : (snmp.cause ?? [])))[0];
  return { kind: 'agent-silent', who, cause };
}

/** The planned switch, where the plan names no credential for it either: it could tell the link and its speed as well. */
export function unreadSwitch(cables: Cables, { switch: name }: Endpoint): string | undefined {
  if (name === undefined || cables.switches.has(name)) return undefined;
  return unread(cables, name).kind === 'no-credential' ? name : undefined;
}
