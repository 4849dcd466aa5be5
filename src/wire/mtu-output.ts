/**
 * What a ping with don't-fragment says of a packet that was too large: the fixed English of iputils and BSD. Windows prints the user's
 * language, English like any other, so no word of it is read: a router's answer has a shape (an address and no TTL, ping-output.ts), and
 * what the sender itself refused comes at once (src/probe/path-mtu.ts).
 */
export interface TooLong {
  /** local: the sending system refused. router: an ICMP error came back (RFC 792 type 3 code 4, RFC 4443 type 2). */
  readonly by: 'local' | 'router';
  /** Next-hop MTU told, in octets. Absent where it was not told, or is 0 as old routers write it (RFC 1191 §5). */
  readonly mtu?: number | undefined;
}

const LOCAL = /message too long/i;
const ROUTER = /frag(?:mentation)? needed|packet too big/i;
const MTU = /mtu\s*[=:]?\s*(\d{1,6})/i;
/** The word that tells a router's line from the sender's own. */
const FROM = /^(?:from|\d+ bytes from)\b/i;

/** A router's answer counts before the system's own, which is then only the memory of it. */
export function readTooLong(text: string): TooLong | undefined {
  const lines = text.split(/\r\n|\n|\r/, 4096).map((line) => line.slice(0, 512).trim());
  const router = lines.find((line) => ROUTER.test(line) && FROM.test(line));
  if (router !== undefined) return { by: 'router', mtu: mtuIn(router) };
  const local = lines.find((line) => LOCAL.test(line) || ROUTER.test(line));
  return local === undefined ? undefined : { by: 'local', mtu: mtuIn(local) };
}

/** Whether the program knows no way to set don't-fragment as it was asked to. */
export function knowsNoDontFragment(text: string): boolean {
  return /(?:invalid|unrecognized|illegal|unknown) option|invalid -M argument|bad value/i.test(text);
}

function mtuIn(line: string): number | undefined {
  const mtu = Number(MTU.exec(line)?.[1] ?? 0);
  return mtu > 0 ? mtu : undefined;
}
