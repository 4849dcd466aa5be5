/** Who registered a MAC prefix, offline: the IEEE registry as the package `oui-data` carries it. */
import { createRequire } from 'node:module';
import { isLocallyAdministered, isVirtualRouterMac } from '../plan/mac.js';
import { cleanText } from './clean.js';

/** Hex digits of the three block sizes, longest first: MA-S, MA-M, MA-L (RFC 9542 table 1). The longest prefix wins. */
const PREFIX_DIGITS = [9, 7, 6] as const;

let registry: Readonly<Record<string, string>> | undefined;

/** Canonical MAC -> the registrant's name, or what kind of address it is where nobody registered it. Undefined: not in the registry. */
export function makerOf(mac: string): string | undefined {
  if (isVirtualRouterMac(mac)) return 'virtual router (VRRP)';
  const hex = mac.replaceAll(':', '').toUpperCase();
  registry ??= loadRegistry();
  for (const digits of PREFIX_DIGITS) {
    const entry = registry[hex.slice(0, digits)];
    const name = entry?.split('\n', 1)[0];
    if (name !== undefined && name.trim() !== '') return cleanText(name, 80);
  }
  // A hint and no proof: some old registered prefixes have this bit set, and they were found above.
  return isLocallyAdministered(mac) ? 'locally administered (no maker registered)' : undefined;
}

function loadRegistry(): Readonly<Record<string, string>> {
  const load = createRequire(import.meta.url);
  const data: unknown = load('oui-data');
  return typeof data === 'object' && data !== null ? (data as Record<string, string>) : {};
}
