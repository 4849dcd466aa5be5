/** Path MTU and port MTU against the plan. */
import type { Endpoint } from '../../plan/model.js';
import type { MtuSighting } from '../../sighting/types.js';
import { finding } from '../rules/index.js';
import type { Seen } from '../seen/view.js';
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
  if (smaller !== undefined) return fromEcho(endpoint, planned, smaller);
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

function fromEcho(endpoint: Endpoint, planned: number, { evidence, sighting }: Seen): Observed {
  if (sighting.mtu.outcome !== 'smaller' || sighting.mtu.told === 'local') return NOTHING;
  const { mtu, told } = sighting.mtu;
  const by = `echo with don’t-fragment from ${evidence.vantage.name}`;
  const how =
    told === 'silent'
      ? 'larger ones vanish without a word, as a switch drops them'
      : 'a router refused the larger ones and said so';
  return below(endpoint, planned, mtu, told, by, `${by}: ${mtu} octets pass; ${how}`);
}

function fromPort(endpoint: Endpoint, planned: number, found: FoundLink | undefined): Observed {
  const mtu = found?.link.mtu;
  if (found === undefined || mtu === undefined || mtu <= 0 || mtu >= planned) return NOTHING;
  const by = `ifMtu of ${found.link.ifName ?? found.link.ifDescr ?? found.link.ifIndex} on ${found.by}`;
  return below(endpoint, planned, mtu, 'port', by, `${by} is ${mtu}`);
}

function portNote(found: FoundLink | undefined, planned: number): Observed {
  const mtu = found?.link.mtu;
  if (found === undefined || mtu === undefined || mtu <= 0 || mtu >= planned) return NOTHING;
  const reason = `${found.by} gives ifMtu ${mtu} for this port, but packets of ${planned} octets pass`;
  return { ...NOTHING, reasons: [reason] };
}

function below(
  endpoint: Endpoint,
  planned: number,
  measured: number,
  told: 'silent' | 'router' | 'port',
  by: string,
  evidence: string,
): Observed {
  return {
    reasons: [],
    differences: [{ field: 'mtu', planned: String(planned), measured: String(measured), evidence }],
    findings: [
      finding(
        'mtu-below-plan',
        endpoint.id,
        { endpoint: endpoint.id, planned, measured, told, by },
        { evidence: [evidence], about: [endpoint.id] },
      ),
    ],
  };
}
