/** What this laptop cannot prove, and how to fix that on this system. Pure. */
import { isLoopback, parseCidr } from '../plan/address.js';
import type { Vantage } from '../sighting/types.js';
import { hasMac } from '../vantage/best-port.js';
import { sharedPrefixes } from '../vantage/shared-prefixes.js';

export interface Gap {
  readonly what: string;
  /** What a run from here cannot prove because of it. */
  readonly cost: string;
  readonly mend?: string | undefined;
}

/** In the order of what costs most first. `platform` as process.platform names it. */
export function gapsOf(vantage: Vantage, platform: string): Gap[] {
  return [
    ...portGaps(vantage),
    ...sharedGaps(vantage),
    ...pingGaps(vantage),
    ...neighbourGaps(vantage),
    ...captureGaps(vantage),
    ...rightGaps(vantage, platform),
    ...routeGaps(vantage),
  ];
}

function portGaps({ interfaces }: Vantage): Gap[] {
  const ports = interfaces.filter((port) => port.up && hasMac(port));
  if (ports.length === 0)
    return [
      {
        what: 'no network port is up',
        cost: 'nothing beyond this laptop can be looked at',
        mend: 'plug the cable in, and look at the lamps of both its ends',
      },
    ];
  const addressed = ports.some((port) =>
    port.addresses.some((text) => {
      const own = parseCidr(text);
      return own?.family === 4 && !isLoopback(own.address);
    }),
  );
  return addressed
    ? []
    : [
        {
          what: 'no network port has an IPv4 address',
          cost: 'endpoints with IPv4 addresses stay unproven',
          mend: 'give the port an address of the network at hand; `matchmark check` writes the command for each network it cannot see',
        },
      ];
}

function sharedGaps(vantage: Vantage): Gap[] {
  return sharedPrefixes(vantage).map(({ ports, used }) => {
    const names = ports.map(({ name, wireless }) => (wireless === true ? `${name} (radio)` : name));
    const other = ports.find(({ wireless }) => wireless === true) ?? ports.find(({ name }) => name !== used);
    return {
      what: `${names.join(' and ')} are in one network (${ports.map(({ address }) => address).join(', ')})`,
      cost: `who is missing there: questions leave by ${used ?? 'one of them'} alone, and a device on the other is not heard`,
      ...(other === undefined ? {} : { mend: `switch ${other.name} off for the visit` }),
    };
  });
}

function pingGaps({ abilities: { ping } }: Vantage): Gap[] {
  if (!ping.able)
    return [
      {
        what: ping.reason,
        cost: 'reachability by echo, loss, round trip and path MTU; services are still proven, and no endpoint is called missing for it',
        mend: ping.mend,
      },
    ];
  return ping.flavour === 'busybox' || ping.flavour === 'other'
    ? [
        {
          what: 'this ping cannot forbid fragmentation',
          cost: 'path MTU (jumbo frames end to end)',
          mend: 'sudo apt-get install iputils-ping',
        },
      ]
    : [];
}

function neighbourGaps({ abilities: { neighbourTable, capture, arping } }: Vantage): Gap[] {
  if (neighbourTable.able) return [];
  const cost =
    capture.able || arping.able
      ? 'who is present without rights; capture or arping do it instead here'
      : 'who is present on the link, so that a silent endpoint cannot be told from an absent one';
  return [{ what: neighbourTable.reason, cost, mend: neighbourTable.mend }];
}

function captureGaps({ abilities: { capture, arping } }: Vantage): Gap[] {
  if (capture.able) return [];
  const lldp = 'which switch port this laptop is plugged into (LLDP)';
  if (arping.able) return [{ what: capture.reason, cost: lldp, mend: capture.mend }];
  return [
    {
      what: `${capture.reason}; ${arping.reason}`,
      cost: `that no second device has an address (the neighbour table keeps the first answer alone), and ${lldp}`,
      mend: capture.mend ?? arping.mend,
    },
  ];
}

function rightGaps({ abilities: { privileged } }: Vantage, platform: string): Gap[] {
  if (privileged) return [];
  return [
    {
      what: 'no administrator rights',
      cost: 'the neighbour table cannot be cleared: a device that was unplugged within the last minute may be called unproven instead of missing, and two devices that take turns may stay hidden',
      mend:
        platform === 'win32'
          ? 'open the console with "Run as administrator"'
          : 'run the same command with sudo; nothing but the looking changes',
    },
  ];
}

function routeGaps({ routesUnknown }: Vantage): Gap[] {
  return routesUnknown === undefined
    ? []
    : [
        {
          what: `the routes could not be read: ${routesUnknown}`,
          cost: 'whether a network that this laptop is not on can be reached through a router',
        },
      ];
}
