/** What each planned fact is called, in words that stand in a sentence and in the head of a column. */
import type { FactResult } from '../matrix/matrix.js';

type Kind = FactResult['fact'];

const NAMES: Readonly<Record<Exclude<Kind, 'service'>, string>> = {
  address: 'address',
  echo: 'echo',
  box: 'device',
  link: 'link',
  light: 'light',
  speed: 'speed',
  'switch-port': 'switch port',
  vlan: 'VLAN',
  mtu: 'MTU',
  portals: 'portals',
};

/** `speed`, `switch port`; a service by its own name. */
export function factName({ fact, service }: Pick<FactResult, 'fact' | 'service'>): string {
  return fact === 'service' ? (service ?? 'service') : NAMES[fact];
}
