/** Endpoints -> an address list (DESIGN 3) that reads back as the same endpoints. RFC 4180. */

import type { Endpoint, PlannedService } from '../plan/model.js';
import { parseService } from '../plan/services.js';
import { formatSpeed, parseSpeed } from '../plan/speed.js';
import type { Column } from '../plan-file/columns.js';
import { csvText } from '../text/csv.js';

const CELLS: Readonly<Record<Column, (endpoint: Endpoint) => string>> = {
  device: ({ device }) => device,
  controller: ({ controller }) => controller ?? '',
  port: ({ port }) => port,
  role: ({ role }) => role,
  network: ({ network }) => network ?? '',
  // With the prefix, so that the list alone says how large its networks are.
  address: ({ address, prefixBits }) => [address ?? [], prefixBits ?? []].flat().join('/'),
  mac: ({ mac }) => mac ?? '',
  media: ({ media }) => media ?? '',
  services: ({ services }) => services.map(serviceText).join(' '),
  group: ({ group }) => group ?? '',
  switch: (endpoint) => switchesText(endpoint),
  'switch port': ({ switchPort, switchPorts }) =>
    switchPorts
      .map(({ port }) => port ?? '')
      .filter((port) => port !== '')
      .join('+') ||
    (switchPort ?? ''),
  speed: ({ speedMbps }) => (speedMbps === undefined ? '' : speedText(speedMbps)),
  mtu: ({ mtu }) => (mtu === undefined ? '' : String(mtu)),
  interface: (endpoint) => endpoint.interface ?? '',
  virtual: ({ virtual }) => (virtual ? 'yes' : ''),
  'default address': ({ defaultAddress }) => defaultAddress ?? '',
  snmp: ({ snmp }) => snmp ?? '',
  wwpn: ({ wwpn }) => wwpn ?? '',
  note: ({ note }) => note ?? '',
};

/** Header and rows. `columns`: the fixed ones in their order; empty ones stay, to be filled in. */
export function addressListRows(
  endpoints: readonly Endpoint[],
  columns: readonly Column[],
): readonly (readonly string[])[] {
  return [columns, ...endpoints.map((endpoint) => columns.map((column) => CELLS[column](endpoint)))];
}

/** A blank at an end would be lost, and a semicolon taken for the delimiter. */
const QUOTED = /[;\t]|^\s|\s$/;

export function addressListCsv(rows: readonly (readonly string[])[]): string {
  const text = csvText(rows, QUOTED);
  // Spreadsheets take a list without a byte order mark for the system's old code page.
  return /^[\x20-\x7e\r\n]*$/.test(text) ? text : `\ufeff${text}`;
}

/** Members of an aggregated link joined by `+` (DESIGN 3). */
function switchesText({ switchPorts }: Endpoint): string {
  const names = switchPorts.map((member) => member.switch);
  return new Set(names).size === 1 && switchPorts[0]?.port !== undefined ? (names[0] ?? '') : names.join('+');
}

function serviceText({ name, port }: PlannedService): string {
  return parseService(name)?.port === port ? name : `${name}:${port}`;
}

function speedText(mbps: number): string {
  const short = formatSpeed(mbps);
  return parseSpeed(short) === mbps ? short : `${mbps}M`;
}
