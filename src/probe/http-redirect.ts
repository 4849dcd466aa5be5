import { parseAddress, withoutZone } from '../plan/address.js';

export interface HttpPlace {
  readonly scheme: 'http' | 'https';
  readonly address: string;
  readonly port: number;
  readonly path: string;
}

/**
 * Where a Location leads (RFC 9110 §10.2.2), if it leads to another page of the very port that was asked. Another address, port or
 * scheme is never touched on a device's word; what the plan has there gets a question of its own.
 */
export function followable(from: HttpPlace, location: string): HttpPlace | undefined {
  let url: URL;
  try {
    url = new URL(location, `${from.scheme}://${authority(from)}${from.path}`);
  } catch {
    return undefined;
  }
  if (url.protocol !== `${from.scheme}:`) return undefined;
  if (url.username !== '' || url.password !== '') return undefined;
  if (parseAddress(url.hostname.replace(/^\[|\]$/g, '')) !== withoutZone(from.address)) return undefined;
  const port = url.port === '' ? usualPort(from.scheme) : Number(url.port);
  if (port !== from.port) return undefined;
  return { ...from, path: `${url.pathname}${url.search}`.slice(0, 2048) };
}

/** Host header and URL authority: IPv6 in brackets (RFC 3986 §3.2.2) without its zone (RFC 6874 §3), the port where it is not the scheme's own. */
export function authority(place: HttpPlace): string {
  const host = place.address.includes(':') ? `[${withoutZone(place.address)}]` : place.address;
  return place.port === usualPort(place.scheme) ? host : `${host}:${place.port}`;
}

function usualPort(scheme: HttpPlace['scheme']): 80 | 443 {
  return scheme === 'https' ? 443 : 80;
}
