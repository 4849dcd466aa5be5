/**
 * The address of a host that was itself looked from by SSH: the place says which of its ports has it. That is as planned, where a laptop
 * with a planned address would be in the way of the device.
 */
import { isOwn } from '../evidence/own.js';
import { finding } from '../findings/index.js';
import { hostOf } from '../plan/address.js';
import type { VantageInterface } from '../sighting/types.js';
import { differing, type Fact, matching, type Stated } from './fact.js';
import { type Situation, seenBy } from './situation.js';

/** The port of that host with the endpoint's address; undefined where somebody else looked. */
export function ownHostPort({ best, endpoint }: Situation): VantageInterface | undefined {
  if (best === undefined || endpoint.role !== 'host' || !isOwn(best)) return undefined;
  const { from, interfaces } = best.evidence.vantage;
  if (from === undefined) return undefined;
  return interfaces.find(({ addresses }) => addresses.some((one) => hostOf(one) === endpoint.address));
}

export function ownHostAddress(s: Situation, port: VantageInterface, stated: Stated): Fact {
  const vantage = s.best?.evidence.vantage.name ?? '';
  const evidence = [seenBy(s, `${port.name} has ${port.addresses.join(', ')}`)];
  if (port.up)
    return matching(stated, `${vantage} was looked from, and has it on its port ${port.name}`, {
      vantage,
      measured: port.mac,
      evidence,
    });
  return differing(stated, 'own-port-down', `${vantage} has it on its port ${port.name}, which has no link`, {
    vantage,
    measured: port.mac,
    evidence,
    path: 'ends',
    findings: [
      finding(
        'link-down',
        s.endpoint.id,
        { endpoint: s.endpoint.id, port: port.name, state: 'down', by: vantage, switchedOff: false },
        { about: [s.endpoint.id], evidence },
      ),
    ],
  });
}
