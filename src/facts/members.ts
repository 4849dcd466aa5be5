/** Switch ports of an aggregated link: as planned where all its members are. */
import { unread } from '../cabling/agents.js';
import type { Cables } from '../cabling/cables.js';
import type { CableSeen } from '../cabling/index.js';
import type { Leg } from '../cabling/legs.js';
import type { Endpoint } from '../plan/model.js';
import { list } from '../text/sentence.js';
import { sayUntold, unproven, type Why } from './cable-causes.js';
import { type Fact, matching, type Stated } from './fact.js';
import { differs, sayPlanned, sayPortAt, unclearPort } from './switch-port-words.js';

export function membersFact(cables: Cables, endpoint: Endpoint, { legs, placed }: CableSeen): Fact {
  const stated: Stated = {
    fact: 'switch-port',
    planned: legs.length === 0 ? planOf(endpoint) : namesOf(legs),
  };
  if (legs.length === 0)
    return unproven(stated, {
      cause: 'virtual-address',
      reason: 'its address may move between devices, so it has no one switch port',
    });
  const vantage =
    legs
      .map(({ planned }) => cables.switches.get(planned.switch)?.vantage ?? '')
      .find((name) => name !== '') ?? '';
  const stray = legs.find(({ seen }) => seen.kind === 'other' || seen.kind === 'elsewhere');
  if (stray !== undefined) return strayLeg(endpoint, stated, stray, vantage);
  if (legs.every(({ seen }) => seen.kind === 'down') && placed.knownUp) {
    const by = `${namesOf(legs)} have no link, and the endpoint is up`;
    return differs(endpoint, stated, {
      cause: 'in-another-port',
      measured: 'other ports, not identified',
      by,
      vantage,
    });
  }
  const openLegs = legs.filter(({ seen }) => seen.kind !== 'there');
  const [first] = openLegs;
  if (first !== undefined) {
    const why = whyOpen(cables, first);
    const of =
      legs.length === openLegs.length
        ? ''
        : ` (${legs.length - openLegs.length} of ${legs.length} members proven)`;
    return unproven(stated, { ...why, reason: `${why.reason}${of}` }, { vantage });
  }
  const evidence = legs.map(
    ({ planned, seen }) =>
      `${sayPlanned(planned.switch, planned.port)}: its device, by ${seen.kind === 'there' ? seen.by : ''}`,
  );
  return matching(stated, `all ${legs.length} members are in their planned ports`, {
    measured: legs.map(({ planned, at }) => (at === undefined ? planned.switch : sayPortAt(at))).join(' + '),
    vantage,
    evidence,
  });
}

function planOf({ switchPorts }: Endpoint): string {
  return switchPorts.map(({ switch: name, port }) => sayPlanned(name, port)).join(' + ');
}

function namesOf(legs: readonly Leg[]): string {
  return legs.map(({ planned }) => sayPlanned(planned.switch, planned.port)).join(' + ');
}

function strayLeg(endpoint: Endpoint, stated: Stated, { planned, seen }: Leg, vantage: string): Fact {
  const member = sayPlanned(planned.switch, planned.port);
  if (seen.kind === 'elsewhere') {
    const measured = sayPortAt(seen.at);
    const told = `${measured}: its device, by ${seen.by}`;
    const by = `${seen.by === 'LLDP' ? 'LLDP' : 'forwarding table'} at ${seen.at.switch}`;
    return differs(endpoint, stated, { cause: 'in-another-port', measured, by, told, vantage }, member);
  }
  const other = seen.kind === 'other' ? seen.name : '';
  const measured = `another port than ${member}, where ${other} is`;
  const more = {
    cause: 'something-else-there' as const,
    measured,
    by: `LLDP at ${planned.switch}`,
    told: `${member} hears ${other} by LLDP`,
    vantage,
  };
  return differs(endpoint, stated, more, member);
}

function whyOpen(cables: Cables, { planned, seen }: Leg): Why {
  const member = sayPlanned(planned.switch, planned.port);
  if (seen.kind === 'down')
    return { cause: 'leg-down', reason: `${member} has no link, so what is in it is not proven` };
  const why = seen.kind === 'unknown' ? seen.why : 'not-shown';
  if (why === 'switch-not-read') return sayUntold(`what is in ${member}`, unread(cables, planned.switch));
  const unclear = planned.port === undefined ? undefined : unclearPort(cables, planned.switch, planned.port);
  return (
    unclear ?? {
      cause: 'mac-not-learned',
      reason: `nothing tells what is in ${list([member])}: no LLDP is heard there, and its MAC is not learned there`,
      mend: 'let LLDP be sent by the device, or compare the label',
    }
  );
}
