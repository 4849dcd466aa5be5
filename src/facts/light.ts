/** What an endpoint that has no address to ask shows instead: the login of a Fibre Channel port, the power of a supply, or light that eyes saw. */
import { deviceUntold, unread, unreadSwitch } from '../cabling/agents.js';
import type { Cables } from '../cabling/cables.js';
import type { Login } from '../cabling/fabric.js';
import type { CableSeen } from '../cabling/index.js';
import { sayPort } from '../cabling/port-name.js';
import { type SuppliesSeen, suppliesOf } from '../cabling/power.js';
import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { inWords, list } from '../text/sentence.js';
import { type CableCause, sayUntold, unproven } from './cable-causes.js';
import { absent, differing, type Fact, matching, type Stated } from './fact.js';
import { linkTold } from './link.js';

/** Fibre Channel ports and power inlets only (a power unit with an address is asked like any other). What eyes saw of them is no-address.ts. */
export function lightFact(cables: Cables, endpoint: Endpoint, seen: CableSeen): Fact | undefined {
  if (endpoint.media === 'fc') return fibreChannel(cables, endpoint, seen);
  return endpoint.role === 'power' && endpoint.address === undefined
    ? power(cables, endpoint, seen)
    : undefined;
}

function fibreChannel(cables: Cables, endpoint: Endpoint, seen: CableSeen): Fact {
  const { wwpn } = endpoint;
  const told = linkTold(cables, seen);
  const logins = wwpn === undefined ? [] : cables.fabrics.at(wwpn);
  if (wwpn !== undefined && logins.length > 0) return loggedIn(endpoint, wwpn, logins);
  const isRead =
    wwpn !== undefined && cables.fabrics.switchesOf(endpoint).some((name) => cables.fabrics.read.has(name));
  const stated: Stated = { fact: 'light', planned: isRead ? 'logged in' : 'link light' };
  if (told?.state === 'down') {
    const cause: CableCause = 'link-down';
    return absent(stated, cause, `${told.by} says that ${sayPort(told.port)} has no link`, {
      measured: isRead ? 'not logged in' : 'no link',
      vantage: told.vantage,
      evidence: [`${told.by}: ${told.port} is down`],
      path: 'ends',
    });
  }
  if (isRead) return notLoggedIn(cables, endpoint, stated, wwpn);
  if (told?.state === 'up')
    return matching(stated, `${told.by} says that ${sayPort(told.port)} has link`, {
      measured: 'link',
      vantage: told.vantage,
      evidence: [`${told.by}: ${told.port} is up`],
    });
  return unproven(
    stated,
    sayUntold('its link', deviceUntold(cables, endpoint, seen.found), unreadSwitch(cables, endpoint)),
  );
}

function loggedIn(endpoint: Endpoint, wwpn: string, logins: readonly Login[]): Fact {
  const stated: Stated = { fact: 'light', planned: 'logged in' };
  const places = logins.map(({ switch: name, port }) => `${name} ${sayPort(port.name)}`);
  const evidence = places.map((place) => `${wwpn} is logged in at ${place}`);
  const [first] = logins;
  const more = { vantage: first?.vantage ?? '', evidence };
  const reason = `its port name ${wwpn} is logged in at ${list(places)}`;
  if (logins.length === 1) return matching(stated, reason, { measured: 'logged in', ...more });
  const cause: CableCause = 'name-at-two-ports';
  return differing(stated, cause, reason, {
    measured: `logged in at ${logins.length} ports`,
    ...more,
    path: 'open',
    findings: [
      finding(
        'port-name-twice',
        endpoint.id,
        { endpoint: endpoint.id, portName: wwpn, places },
        { evidence, about: [endpoint.id] },
      ),
    ],
  });
}

/** Absence shows only where every switch of the fabric told its logins to the end. */
function notLoggedIn(cables: Cables, endpoint: Endpoint, stated: Stated, wwpn: string): Fact {
  const { fabrics } = cables;
  const switches = fabrics.switchesOf(endpoint);
  const unread = switches.filter((name) => fabrics.read.get(name)?.whole !== true);
  if (unread.length > 0)
    return unproven(
      stated,
      {
        cause: 'fabric-not-read',
        reason: `${wwpn} is logged in at no switch that was read, and ${list(unread)} told no whole list of logins`,
        mend: `let ${list(unread)} be read by SNMP, then check again`,
      },
      { path: 'open' },
    );
  const at = switches.map((name) => `${name} tells no login of ${wwpn}`);
  const cause: CableCause = 'not-logged-in';
  return absent(stated, cause, `${wwpn} is logged in at no port of ${list(switches)}`, {
    measured: 'not logged in',
    vantage: fabrics.read.get(switches[0] ?? '')?.vantage ?? '',
    evidence: at,
    path: 'ends',
    findings: [
      finding(
        'login-missing',
        endpoint.id,
        { endpoint: endpoint.id, portName: wwpn, switches },
        { evidence: at, about: [endpoint.id] },
      ),
    ],
  });
}

function power(cables: Cables, endpoint: Endpoint, seen: CableSeen): Fact {
  const stated: Stated = { fact: 'light', planned: 'power lamp' };
  const supplies = suppliesOf(cables, endpoint.device);
  if (supplies !== undefined) {
    const judged = supplyFact(cables, endpoint, stated, supplies);
    if (judged !== undefined) return judged;
  }
  const told = linkTold(cables, seen);
  if (told?.state === 'up')
    return matching(stated, `${told.by} says that ${sayPort(told.port)} is up`, {
      measured: 'up',
      vantage: told.vantage,
    });
  return unproven(
    stated,
    supplies === undefined
      ? sayUntold('whether its supply works', unread(cables, endpoint.device))
      : {
          cause: 'supply-unknown',
          reason: `${supplies.by} does not tell which of its supplies this is, or whether it works`,
        },
  );
}

/** By the name of the supply, else where all supplies of the device work and there are enough of them. The finding is the device's. */
function supplyFact(
  cables: Cables,
  endpoint: Endpoint,
  stated: Stated,
  { supplies, by, vantage }: SuppliesSeen,
): Fact | undefined {
  const named = supplies.find(({ name }) => fold(name) === fold(endpoint.port));
  const evidence = supplies.map(({ name, state }) => `${by}: ${name} is ${inWords(state)}`);
  if (named?.state === 'not-working') {
    const cause: CableCause = 'supply-down';
    return differing(stated, cause, `${by} says that the supply ${named.name} does not work`, {
      measured: 'not working',
      vantage,
      evidence,
    });
  }
  const inlets = cables.endpointsOf(endpoint.device).filter(({ role }) => role === 'power').length;
  const allWork = supplies.every(({ state }) => state === 'working') && supplies.length >= inlets;
  if (named?.state !== 'working' && !allWork) return undefined;
  const which =
    named === undefined ? `all ${supplies.length} supplies work` : `the supply ${named.name} works`;
  return matching(stated, `${by} says that ${which}`, { measured: 'working', vantage, evidence });
}

function fold(name: string): string {
  return name.toLowerCase().replace(/[^a-z0-9]+/g, '');
}
