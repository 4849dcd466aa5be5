/** Path MTU and port MTU against the plan. */

import type { Seen } from '../evidence/view.js';
import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import type { MtuSighting } from '../sighting/types.js';
import type { Ground } from './ground.js';
import type { FoundLink } from './links.js';
import { NOTHING, type Observed } from './types.js';

/** `mtu` of the endpoint, else of its network. Fibre Channel has none. */
export function plannedMtu(ground: Ground, endpoint: Endpoint): number | undefined {
  return endpoint.media === 'fc' ? undefined : (endpoint.mtu ?? ground.view.networkOf(endpoint)?.mtu);
}

/**
 * Echo decides where it was tried: from the same link before routed, as the way through a router is not the path that is
 * planned. The port's own setting (ifMtu) counts where echo proved nothing.
 */
export function mtuBelowPlan(ground: Ground, endpoint: Endpoint, found: FoundLink | undefined): Observed {
  const planned = plannedMtu(ground, endpoint);
  if (planned === undefined) return NOTHING;
  const looks = endpoint.address === undefined ? [] : ground.view.seen(endpoint.address);
  const onLink = looks.filter(
    ({ sighting }) => sighting.reach === 'on-link' && proves(sighting.mtu, planned),
  );
  const tried = onLink.length > 0 ? onLink : looks.filter(({ sighting }) => proves(sighting.mtu, planned));
  if (tried.some(({ sighting }) => passes(sighting.mtu, planned))) return portNote(found, planned);
  const smaller = tried.find(({ sighting }) => sighting.mtu.outcome === 'smaller');
  if (smaller !== undefined) return fromEcho(endpoint, planned, smaller, found);
  const own = ownLimit(looks, planned);
  const port = fromPort(endpoint, planned, found);
  return own === undefined ? port : { ...port, reasons: [...port.reasons, own] };
}

/** Whether the outcome says anything about the path at the planned size. */
function proves(mtu: MtuSighting, planned: number): boolean {
  return passes(mtu, planned) || (mtu.outcome === 'smaller' && mtu.told !== 'local' && mtu.mtu < planned);
}

function passes(mtu: MtuSighting, planned: number): boolean {
  return (mtu.outcome === 'passes' || mtu.outcome === 'smaller') && mtu.mtu >= planned;
}

function ownLimit(looks: readonly Seen[], planned: number): string | undefined {
  const limited = looks.find(({ sighting: { mtu } }) => mtu.outcome === 'smaller' && mtu.told === 'local');
  if (limited === undefined || limited.sighting.mtu.outcome !== 'smaller') return undefined;
  const { vantage } = limited.evidence;
  return `MTU ${planned} could not be tested from ${vantage.name}: its own interface ${limited.sighting.interface ?? ''} passes ${limited.sighting.mtu.mtu} at most`.replace(
    '  ',
    ' ',
  );
}

/** Where the port itself is set to no more than what passed (a VLAN tag of 4 octets may pass beside it), it is the cause. */
function fromEcho(
  endpoint: Endpoint,
  planned: number,
  { evidence, sighting }: Seen,
  found: FoundLink | undefined,
): Observed {
  if (sighting.mtu.outcome !== 'smaller' || sighting.mtu.told === 'local') return NOTHING;
  const { mtu, told } = sighting.mtu;
  const by = `echo with don’t-fragment from ${evidence.vantage.name}`;
  const how =
    told === 'silent'
      ? 'larger ones vanish without a word, as a switch drops them'
      : 'a router refused the larger ones and said so';
  const echo = `${by}: ${mtu} octets pass; ${how}`;
  const own = ownSetting(found, planned);
  if (own === undefined) return below(endpoint, planned, mtu, told, by, [echo]);
  const said = `${own.by} is ${own.mtu}`;
  // A router that refuses is small itself, whatever the port is set to.
  return told === 'silent' && own.mtu <= mtu
    ? below(endpoint, planned, own.mtu, 'port', own.by, [said, echo])
    : below(endpoint, planned, mtu, told, by, [echo, said]);
}

function fromPort(endpoint: Endpoint, planned: number, found: FoundLink | undefined): Observed {
  const own = ownSetting(found, planned);
  return own === undefined
    ? NOTHING
    : below(endpoint, planned, own.mtu, 'port', own.by, [`${own.by} is ${own.mtu}`]);
}

/** ifMtu of the port, where it is less than planned. */
function ownSetting(
  found: FoundLink | undefined,
  planned: number,
): { readonly mtu: number; readonly by: string } | undefined {
  const mtu = found?.link.mtu;
  if (found === undefined || mtu === undefined || mtu <= 0 || mtu >= planned) return undefined;
  const { ifName, ifDescr, ifIndex } = found.link;
  return { mtu, by: `ifMtu of ${ifName ?? ifDescr ?? ifIndex} on ${found.by}` };
}

function portNote(found: FoundLink | undefined, planned: number): Observed {
  const own = ownSetting(found, planned);
  if (found === undefined || own === undefined) return NOTHING;
  const reason = `${found.by} gives ifMtu ${own.mtu} for this port, but packets of ${planned} octets pass`;
  return { ...NOTHING, reasons: [reason] };
}

function below(
  endpoint: Endpoint,
  planned: number,
  measured: number,
  told: 'silent' | 'router' | 'port',
  by: string,
  evidence: readonly string[],
): Observed {
  return {
    reasons: [],
    differences: [
      { field: 'mtu', planned: String(planned), measured: String(measured), evidence: evidence.join('; ') },
    ],
    findings: [
      finding(
        'mtu-below-plan',
        endpoint.id,
        { endpoint: endpoint.id, planned, measured, told, by },
        { evidence: [...evidence], about: [endpoint.id] },
      ),
    ],
  };
}
