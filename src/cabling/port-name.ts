/** Which port of a switch the plan means: people shorten `Ethernet1/7` to `Eth1/7`, `1/7` or `port 7`. */
import type { SwitchPort } from '../sighting/types.js';
import { isLogical, portOfUnit } from './port-kind.js';

export type PortMatch =
  | { readonly kind: 'one'; readonly port: SwitchPort }
  | { readonly kind: 'none' }
  /** The short name fits several ports. */
  | { readonly kind: 'several'; readonly ports: readonly SwitchPort[] };

/**
 * First the whole name against ifName, then ifDescr, then ifAlias. Then the shortened one: the same numbers, and letters of
 * which one is the beginning of the other (or none, or the word `port`). Aggregated links and VLAN interfaces do not compete
 * with ports: planned `1` is `gi1` though `Po1` and `vlan1` are there. A match counts only where it is the only one.
 */
export function findPort(ports: readonly SwitchPort[], planned: string): PortMatch {
  const known = found.get(ports) ?? new Map<string, PortMatch>();
  found.set(ports, known);
  const match = known.get(planned) ?? findByName(ports, planned);
  known.set(planned, match);
  return match;
}

/** A hall asks for the same port of the same switch many times over. */
const found = new WeakMap<readonly SwitchPort[], Map<string, PortMatch>>();

function findByName(ports: readonly SwitchPort[], planned: string): PortMatch {
  const whole = bestMatch(ports, planned);
  if (whole.kind !== 'none') return whole;
  // A logical unit that was planned (`1/7.0`) is its port.
  const base = portOfUnit(planned.trim());
  return base === undefined ? whole : bestMatch(ports, base);
}

function bestMatch(ports: readonly SwitchPort[], planned: string): PortMatch {
  const wanted = fold(planned);
  const short = split(wanted);
  const physical = ports.filter((port) => !isLogical(port));
  const others = ports.filter(isLogical);
  const tries = [
    () => exact(physical, wanted),
    // `1` for an aggregated link called `1` is the last thing that people mean.
    () => (short?.letters === '' ? [] : exact(others, wanted)),
    () => shortened(physical, short),
    () => exact(others, wanted),
    () => shortened(others, short),
  ];
  for (const attempt of tries) {
    const fitting = attempt();
    if (fitting.length > 0) return one(fitting);
  }
  return { kind: 'none' };
}

/** `port 1/7` for `1/7` or `Ethernet1/7`, and `port12` as it is: it says already that it is a port. */
export function sayPort(name: string): string {
  return /^port[\s_-]*\d/i.test(name) ? name : `port ${name}`;
}

function one(ports: readonly SwitchPort[]): PortMatch {
  const [port] = ports;
  if (port === undefined) return { kind: 'none' };
  return ports.length === 1 ? { kind: 'one', port } : { kind: 'several', ports };
}

function exact(ports: readonly SwitchPort[], wanted: string): readonly SwitchPort[] {
  for (const field of ['name', 'descr', 'alias'] as const) {
    const same = ports.filter((port) => fold(port[field] ?? '') === wanted);
    if (same.length > 0) return same;
  }
  return [];
}

function shortened(ports: readonly SwitchPort[], wanted: NameParts | undefined): readonly SwitchPort[] {
  if (wanted === undefined) return [];
  const isWord = wanted.letters === '' || wanted.letters === 'port';
  const named = (fits: (name: NameParts) => boolean) => ports.filter((port) => namesOf(port).some(fits));
  if (!isWord) return named((name) => isShort(wanted, name));
  // A switch that calls its ports `port1` or `1` means those; `uplink1` is another port, with the same number on it.
  if (wanted.letters === 'port' && named((name) => isPlain(name.letters)).length > 0)
    return named((name) => isPlain(name.letters) && name.numbers === wanted.numbers);
  const plain = named((name) => isPlain(name.letters) && name.numbers === wanted.numbers);
  return plain.length > 0
    ? plain
    : named((name) => name.numbers === wanted.numbers && !ANOTHER_KIND.has(name.letters));
}

/** Letters of physical ports that nobody calls by the word `port` or a bare number (common practice, no source). */
const ANOTHER_KIND: ReadonlySet<string> = new Set([
  ...['uplink', 'uplinkport', 'up', 'link', 'stack', 'stackport', 'xlink', 'peer', 'ha', 'sync', 'service'],
  ...[
    'mgmt',
    'management',
    'mgmteth',
    'mgt',
    'ma',
    'me',
    'oob',
    'fxp',
    'console',
    'con',
    'aux',
    'usb',
    'cpu',
  ],
]);

function isPlain(letters: string): boolean {
  return letters === '' || letters === 'port';
}

function namesOf(port: SwitchPort): NameParts[] {
  return [port.name, port.descr ?? ''].flatMap((name) => split(fold(name)) ?? []);
}

function fold(name: string): string {
  return name.toLowerCase().replace(/[\s_-]+/g, '');
}

interface NameParts {
  readonly letters: string;
  readonly numbers: string;
}

/** `ethernet1/7` -> letters and the rest, which has to begin with a digit. */
function split(folded: string): NameParts | undefined {
  const match = /^([^0-9]*)([0-9].*)$/.exec(folded);
  return match === null ? undefined : { letters: match[1] ?? '', numbers: match[2] ?? '' };
}

function isShort(wanted: NameParts, name: NameParts): boolean {
  if (name.numbers !== wanted.numbers) return false;
  return (
    name.letters.startsWith(wanted.letters) ||
    (name.letters !== '' && wanted.letters.startsWith(name.letters))
  );
}
