/** Which port of a switch the plan means: people shorten `Ethernet1/7` to `Eth1/7`, `1/7` or `port 7`. */
import type { SwitchPort } from '../sighting/types.js';

export type PortMatch =
  | { readonly kind: 'one'; readonly port: SwitchPort }
  | { readonly kind: 'none' }
  /** The short name fits several ports. */
  | { readonly kind: 'several'; readonly ports: readonly SwitchPort[] };

/**
 * First the whole name against ifName, then ifDescr, then ifAlias. Then the shortened one: the same numbers, and letters of
 * which one is the beginning of the other (or none, or the word `port`). A match counts only where it is the only one.
 */
export function findPort(ports: readonly SwitchPort[], planned: string): PortMatch {
  const wanted = fold(planned);
  for (const field of ['name', 'descr', 'alias'] as const) {
    const same = ports.filter((port) => fold(port[field] ?? '') === wanted);
    if (same.length > 0) return one(same);
  }
  const short = split(wanted);
  if (short === undefined) return { kind: 'none' };
  return one(
    ports.filter((port) => [port.name, port.descr ?? ''].some((name) => isShort(short, split(fold(name))))),
  );
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

function isShort(wanted: NameParts, name: NameParts | undefined): boolean {
  if (name === undefined || name.numbers !== wanted.numbers) return false;
  const letters = wanted.letters === 'port' ? '' : wanted.letters;
  return name.letters.startsWith(letters) || (name.letters !== '' && letters.startsWith(name.letters));
}
