import { parseAddress } from '../plan/address.js';

export interface HttpPlace {
  readonly scheme: 'http' | 'https';
  readonly address: string;
  readonly port: number;
  readonly path: string;
}

/** Where a Location leads (RFC 9110 §10.2.2), if it leads to the address that was asked: no other address is ever touched. */
export function followable(from: HttpPlace, location: string): HttpPlace | undefined {
  let url: URL;
  try {
    url = new URL(location, `${from.scheme}://${authority(from)}${from.path}`);
  } catch {
    return undefined;
  }
  if (url.protocol !== 'http:' && url.protocol !== 'https:') return undefined;
  if (url.username !== '' || url.password !== '') return undefined;
  if (parseAddress(url.hostname.replace(/^\[|\]$/g, '')) !== from.address) return undefined;
  const scheme = url.protocol === 'https:' ? 'https' : 'http';
  const port = url.port === '' ? (scheme === 'https' ? 443 : 80) : Number(url.port);
  return { scheme, address: from.address, port, path: `${url.pathname}${url.search}`.slice(0, 2048) };
}

/** Host header and URL authority: IPv6 in brackets (RFC 3986 §3.2.2), the port where it is not the scheme's own. */
export function authority(place: HttpPlace): string {
  const host = place.address.includes(':') ? `[${place.address}]` : place.address;
  return place.port === (place.scheme === 'https' ? 443 : 80) ? host : `${host}:${place.port}`;
}
