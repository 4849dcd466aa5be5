/** Path MTU and port MTU against the plan. */
import type { Cables } from '../cabling/cables.js';
import type { CableSeen } from '../cabling/index.js';
import { ETHERNET_MTU, type MtuSeen, mtuSeen, plannedMtu } from '../cabling/mtu.js';
import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { type CableCause, unproven, type Why } from './cable-causes.js';
import { differing, type Fact, matching, type Stated } from './fact.js';

/**
 * Echo decides where it proved something. The port's own setting (ifMtu) counts where it did not, and only against the plan: a port
 * that is set large says nothing of the switches on the way.
 */
export function mtuFact(cables: Cables, endpoint: Endpoint, cable: CableSeen): Fact | undefined {
  const planned = plannedMtu(cables, endpoint);
  if (planned === undefined) return undefined;
  const stated: Stated = { fact: 'mtu', planned: String(planned) };
  const seen = mtuSeen(cables, endpoint, planned, cable.found);
  const { path } = seen;
  if (path.kind === 'passes') return passes(stated, planned, path.vantage, seen.port);
  const set = smallPort(seen, planned);
  if (path.kind === 'smaller') {
    const by = `echo with don’t-fragment from ${path.vantage}`;
    const how =
      path.told === 'silent'
        ? 'larger ones vanish in silence, as a switch drops them'
        : 'a router refused the larger ones and said so';
    const echo = `${by}: ${path.mtu} octets pass; ${how}`;
    const at = { endpoint, stated, planned };
    if (set === undefined) return below(at, path.mtu, path.told, by, [echo], path.vantage);
    // Where the port is set to no more than what passed (a VLAN tag of 4 octets may pass beside it), it is the cause.
    // A router that refuses is small itself, whatever the port is set to.
    return path.told === 'silent' && set.mtu <= path.mtu
      ? below(at, set.mtu, 'port', set.by, [set.said, echo], path.vantage)
      : below(at, path.mtu, path.told, by, [echo, set.said], path.vantage);
  }
  if (set !== undefined)
    return below({ endpoint, stated, planned }, set.mtu, 'port', set.by, [set.said], set.vantage);
  return unproven(stated, whyOpen(seen, planned), 'vantage' in path ? { vantage: path.vantage } : {});
}

function passes(stated: Stated, planned: number, vantage: string, port: MtuSeen['port']): Fact {
  const measured = String(planned);
  const evidence = [`echo with don’t-fragment from ${vantage}: ${planned} octets pass`];
  if (port === undefined || port.mtu >= planned)
    return matching(stated, `packets of ${planned} octets pass from ${vantage}`, {
      measured,
      vantage,
      evidence,
    });
  const cause: CableCause = 'port-says-less';
  return matching(
    stated,
    `${port.by} gives ifMtu ${port.mtu} for this port, but packets of ${planned} octets pass`,
    { measured, vantage, evidence, cause },
  );
}

/** ifMtu of the port, where it is less than planned. */
function smallPort({ port }: MtuSeen, planned: number) {
  if (port === undefined || port.mtu >= planned) return undefined;
  const by = `ifMtu of ${port.name} on ${port.by}`;
  return { mtu: port.mtu, by, said: `${by} is ${port.mtu}`, vantage: port.vantage };
}

function whyOpen({ path, port }: MtuSeen, planned: number): Why {
  const set =
    port === undefined ? '' : `; its port is set to ${port.mtu}, which says nothing of the way to it`;
  switch (path.kind) {
    case 'echo-limited':
      return {
        cause: 'echo-limited',
        reason: path.onLink
          ? `it answers echo up to ${path.mtu} octets only, less than the ${ETHERNET_MTU} that every Ethernet carries: it limits echo, so this says nothing of MTU${set}`
          : `echo larger than ${path.mtu} octets vanishes on the way: the device may limit echo, or a tunnel may be small${set}`,
        mend: 'test the MTU from a host that uses the device, or look at the port setting on the device',
      };
    case 'laptop-limits': {
      const own = path.interface === '' ? 'its own interface' : `its own interface ${path.interface}`;
      return {
        cause: 'laptop-limits',
        reason: `MTU ${planned} could not be tested from ${path.vantage}: ${own} passes ${path.mtu} at most${set}`,
        mend: `set the MTU of ${path.interface === '' ? 'that interface' : path.interface} to ${planned} on ${path.vantage}, or check from a host that has it (--from)`,
      };
    }
    case 'not-measured':
      return {
        cause: 'not-measured',
        reason:
          path.reason === undefined
            ? `MTU ${planned} was not tested: it did not answer an echo${set}`
            : `MTU ${planned} was not tested: ${path.reason}${set}`,
        ...(path.mend === undefined ? {} : { mend: path.mend }),
      };
    default:
      return { cause: 'nobody-looked', reason: `MTU ${planned} was not tested: nobody looked at it${set}` };
  }
}

function below(
  {
    endpoint,
    stated,
    planned,
  }: { readonly endpoint: Endpoint; readonly stated: Stated; readonly planned: number },
  measured: number,
  told: 'silent' | 'router' | 'port',
  by: string,
  evidence: readonly string[],
  vantage: string,
): Fact {
  const cause: CableCause = told === 'port' ? 'port-set-smaller' : 'smaller-on-the-way';
  return differing(stated, cause, evidence.join('; '), {
    measured: String(measured),
    vantage,
    evidence,
    findings: [
      finding(
        'mtu-below-plan',
        endpoint.id,
        { endpoint: endpoint.id, planned, measured, told, by },
        { evidence, about: [endpoint.id] },
      ),
    ],
  });
}
