/** What the plan alone says of the visit: what the site must free, what to bring, and who has to be there. Pure. */
import type { Device, Endpoint, Plan } from '../plan/model.js';
import { formatSpeed } from '../plan/speed.js';
import { groupBy } from '../text/group-by.js';
import { count, list, naturalOrder, withRange } from '../text/sentence.js';

export interface VisitItem {
  readonly what: string;
  readonly text: string;
}

export interface VisitList {
  /** What the site has to have ready. */
  readonly free: readonly VisitItem[];
  readonly bring: readonly VisitItem[];
}

const MEDIA_NAMES = { copper: 'Copper cables', fibre: 'Fibre cables', fc: 'Fibre Channel cables' } as const;
/** Of a medium that the plan does not tell. */
const OTHER_CABLES = 'Other cables';
const PORTS_NAMED = 24;
const NAMES_SHOWN = 12;
/** Devices this tall are lifted by two (common practice, no source). */
const LIFTED_BY_TWO = 2;

export function visitList(plan: Plan): VisitList {
  const existing = new Set(plan.devices.filter((device) => device.existing).map(({ name }) => name));
  const devices = plan.devices.filter(({ name }) => !existing.has(name));
  const endpoints = plan.endpoints.filter(({ device, virtual }) => !existing.has(device) && !virtual);
  return {
    free: [...addresses(plan), ...rackUnits(devices), ...switchPorts(endpoints, devices), ...feeds(devices)],
    bring: [
      ...cables(endpoints),
      ...cords(devices),
      ...credentials(plan),
      ...laptop(plan),
      ...people(devices),
      ...eyes(plan),
    ],
  };
}

function addresses({ networks, endpoints }: Plan): VisitItem[] {
  const planned = groupBy(
    endpoints.filter(({ address, network }) => address !== undefined && network !== undefined),
    ({ network }) => network ?? '',
  );
  const asked = networks.flatMap((network): VisitItem[] => {
    const own = planned.get(network.name) ?? [];
    if (own.length === 0) return [];
    return [
      {
        what: 'Addresses',
        text: `${count(own.length, 'address', 'addresses')} in ${withRange(network.name, network.cidr)}, and one for the laptop`,
      },
    ];
  });
  const lacking = endpoints.filter(
    ({ address, media, role }) => address === undefined && media !== 'fc' && role !== 'power',
  );
  return lacking.length === 0
    ? asked
    : [
        ...asked,
        {
          what: 'Addresses to ask for',
          text: `${list(
            lacking.map(({ id }) => id),
            NAMES_SHOWN,
          )} ${lacking.length === 1 ? 'has' : 'have'} none yet`,
        },
      ];
}

function rackUnits(devices: readonly Device[]): VisitItem[] {
  const placed = devices.filter(({ rack, units }) => rack !== undefined && units !== undefined);
  return [...groupBy(placed, ({ rack }) => rack ?? '')]
    .sort(([a], [b]) => naturalOrder(a, b))
    .map(([rack, own]) => {
      const spans = own
        .flatMap(({ units }) => (units === undefined ? [] : [units]))
        .sort((a, b) => a.from - b.from);
      const amount = spans.reduce((sum, { from, to }) => sum + to - from + 1, 0);
      const named = spans.map(({ from, to }) => (from === to ? `${from}` : `${from}-${to}`));
      return { what: `Rack ${rack}`, text: `${count(amount, 'unit')}: ${list(named, PORTS_NAMED)}` };
    });
}

/** Ports of switches that stand there already. */
function switchPorts(endpoints: readonly Endpoint[], devices: readonly Device[]): VisitItem[] {
  const brought = new Set(devices.map(({ name }) => name));
  const ports = endpoints
    .flatMap(({ switchPorts: planned }) => planned)
    .filter((planned) => !brought.has(planned.switch));
  return [...groupBy(ports, (planned) => planned.switch)].map(([name, own]) => {
    const named = own.flatMap(({ port }) => (port === undefined ? [] : [port])).sort(naturalOrder);
    return {
      what: `Switch ${name}`,
      text: `${count(own.length, 'free port')}${named.length === 0 ? '' : `: ${list(named, PORTS_NAMED)}`}`,
    };
  });
}

function feeds(devices: readonly Device[]): VisitItem[] {
  const byFeed = groupBy(
    devices.flatMap(({ name, feeds: own }) => own.map((feed) => ({ feed, name }))),
    ({ feed }) => feed,
  );
  return [...byFeed]
    .sort(([a], [b]) => naturalOrder(a, b))
    .map(([feed, own]) => ({
      what: `Feed ${feed}`,
      text: `${count(own.length, 'outlet')}, with its load agreed`,
    }));
}

/** One for each member of an aggregated link. */
function cables(endpoints: readonly Endpoint[]): VisitItem[] {
  const cabled = endpoints.flatMap((endpoint) =>
    Array.from({ length: Math.max(1, endpoint.switchPorts.length) }, () => endpoint),
  );
  const byMedia = groupBy(cabled, ({ media }) => (media === undefined ? OTHER_CABLES : MEDIA_NAMES[media]));
  const lines = [...byMedia].map(([what, own]) => {
    const speeds = groupBy(own, ({ speedMbps }) => speedMbps ?? 0);
    const split = [...speeds]
      .sort(([a], [b]) => b - a)
      .map(
        ([mbps, some]) =>
          `${some.length} ${mbps === 0 ? 'without a planned speed' : `for ${formatSpeed(mbps)}`}`,
      );
    const lead =
      what === OTHER_CABLES
        ? `${own.length}, medium not planned: `
        : split.length > 1
          ? `${own.length}: `
          : '';
    return { what, text: `${lead}${list(split)}` };
  });
  const optical = cabled.filter(({ media }) => media === 'fibre' || media === 'fc').length;
  return optical === 0
    ? lines
    : [
        ...lines,
        { what: 'Transceivers', text: `up to ${optical * 2}, one at each end, where ports come without` },
      ];
}

function cords(devices: readonly Device[]): VisitItem[] {
  const amount = devices.reduce((sum, { feeds: own }) => sum + own.length, 0);
  return amount === 0 ? [] : [{ what: 'Power cords', text: `${amount}, one for each feed of each device` }];
}

function credentials({ snmp }: Plan): VisitItem[] {
  const names = Object.keys(snmp);
  return names.length === 0
    ? []
    : [{ what: 'Credentials', text: `SNMP, read only: ${list(names, NAMES_SHOWN)}` }];
}

function laptop({ networks, endpoints }: Plan): VisitItem[] {
  const used = new Set(endpoints.map(({ network }) => network));
  const own = networks.filter(({ name, cidr, routed }) => cidr !== undefined && !routed && used.has(name));
  return own.length === 0
    ? []
    : [
        {
          what: 'Laptop',
          text: `with a cable into ${list(own.map(({ name, vlan }) => (vlan === undefined ? name : `${name} (VLAN ${vlan})`)))}${own.length > 1 ? ', one after the other' : ''}`,
        },
      ];
}

function people(devices: readonly Device[]): VisitItem[] {
  const tall = devices.filter(
    ({ units }) => units !== undefined && units.to - units.from + 1 >= LIFTED_BY_TWO,
  );
  return tall.length === 0
    ? []
    : [
        {
          what: 'People',
          text: `two to lift ${list(
            tall.map(({ name }) => name),
            NAMES_SHOWN,
          )}`,
        },
      ];
}

function eyes({ observe }: Plan): VisitItem[] {
  return observe.length === 0
    ? []
    : [{ what: 'Eyes', text: `${count(observe.length, 'thing')} to look at and record with attest` }];
}
