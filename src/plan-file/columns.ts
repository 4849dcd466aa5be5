/** The columns of an address list (DESIGN 3) and the ways people spell their headers. */
import { nearestWord } from '../text/nearest.js';

export const COLUMNS = [
  'device',
  'controller',
  'port',
  'role',
  'network',
  'address',
  'mac',
  'media',
  'services',
  'group',
  'switch',
  'switch port',
  'speed',
  'mtu',
  'interface',
  'virtual',
  'default address',
  'snmp',
  'wwpn',
  'note',
] as const;

export type Column = (typeof COLUMNS)[number];

export const REQUIRED_COLUMNS = ['device', 'port', 'address'] as const satisfies readonly Column[];

const BY_SPELLING = new Map<string, Column>(COLUMNS.map((column) => [spelling(column), column]));

/** Headers match without case, blanks, `_` and `-`. */
export function columnOf(header: string): Column | undefined {
  return BY_SPELLING.get(spelling(header));
}

export function nearestColumn(header: string): Column | undefined {
  const near = nearestWord(spelling(header), BY_SPELLING.keys());
  return near === undefined ? undefined : BY_SPELLING.get(near);
}

function spelling(header: string): string {
  return header.toLowerCase().replace(/[\s_\u2010-\u2015\u200b\ufeff-]+/gu, '');
}
