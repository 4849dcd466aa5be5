/** Who registered a MAC prefix. */

import { cleanText } from '../text/clean.js';
import { isLocallyAdministered, isVirtualRouterMac } from './mac.js';
import { loadRegistry, type Registry } from './registry.js';

/** Hex digits of the three block sizes, longest first: MA-S, MA-M, MA-L (RFC 9542 table 1). The longest prefix wins. */
const PREFIX_DIGITS = [9, 7, 6] as const;

let registry: Registry | undefined;

/** Canonical MAC -> the registrant's name, or what kind of address it is where nobody registered it. Undefined: not in the registry. */
export function makerOf(mac: string): string | undefined {
  if (isVirtualRouterMac(mac)) return 'virtual router (VRRP)';
  const hex = mac.replaceAll(':', '').toUpperCase();
  registry ??= loadRegistry();
  for (const digits of PREFIX_DIGITS) {
    const name = registry.get(hex.slice(0, digits));
    if (name !== undefined && name.trim() !== '') return cleanText(name, 80);
  }
  // A hint and no proof: some old registered prefixes have this bit set, and they were found above.
  return isLocallyAdministered(mac) ? 'locally administered, no maker registered' : undefined;
}
