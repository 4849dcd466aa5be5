/**
 * What a system's ping printed, as values. Knows iputils, busybox, BSD and macOS by their fixed English, and Windows in any
 * display language by what no language changes: the addresses, `TTL=`, `<1ms`, and where the colon stands.
 */
import { parseAddress, withoutZone } from '../plan/address.js';
import type { Cause } from '../sighting/types.js';

export interface PingReading {
  /** Echoes that the program says it sent, or undefined where it printed no count. */
  readonly sent: number | undefined;
  /** Echo replies from the address that was asked, duplicates not counted. */
  readonly rttsMs: readonly number[];
  /** An echo reply came from another address than the one asked. */
  readonly otherAddress: string | undefined;
  /** The first ICMP error, or local routing error (`by` absent). */
  readonly unreachable:
    | { readonly cause: Cause; readonly detail: string; readonly by?: string | undefined }
    | undefined;
  /** Why the program could not ask at all. */
  readonly fault: PingFault | undefined;
}

export type PingFault =
  | 'not-permitted'
  | 'send-forbidden'
  | 'send-failed'
  | 'bad-option'
  | 'bad-address'
  | 'no-family';

interface Reply {
  readonly from: string;
  readonly rttMs: number;
  readonly sequence: string | undefined;
}

/** `target`: the address asked, canonical, with or without its zone. Never throws; text that is no ping output reads as nothing received. */
export function readPingOutput(text: string, target: string): PingReading {
  const lines = text.split(/\r\n|\n|\r/, 4096).map((line) => line.slice(0, 512).trim());
  const replies = lines.map(readReply).filter((reply) => reply !== undefined);
  const asked = withoutZone(target);
  const own = replies.filter((reply) => reply.from === asked);
  const seen = new Set<string>();
  const rttsMs = own.filter((reply) => isFirst(seen, reply.sequence)).map((reply) => reply.rttMs);
  return {
    sent: first(lines, readSent),
    rttsMs,
    otherAddress: replies.find((reply) => reply.from !== asked)?.from,
    unreachable: first(lines, readError) ?? first(lines, readLocalError),
    fault: first(lines, readFault),
  };
}

function isFirst(seen: Set<string>, sequence: string | undefined): boolean {
  if (sequence === undefined) return true;
  if (seen.has(sequence)) return false;
  seen.add(sequence);
  return true;
}

function first<Value>(
  lines: readonly string[],
  read: (line: string) => Value | undefined,
): Value | undefined {
  for (const line of lines) {
    const value = read(line);
    if (value !== undefined) return value;
  }
  return undefined;
}

/** A time in ms behind `=` or `<`: `time=0.037 ms`, `Zeit<1ms`, `temps=2 ms`. */
const TIME = /[=<]\s?(\d+(?:[.,]\d+)?)\s?ms/i;
/**
 * Windows, whose unit of time is always the millisecond, however its language or code page spells it (from memory: Spanish `<1m`,
 * Russian `<1мс`): the value last before `TTL=`, or with IPv6, where no TTL is printed, a value with a unit at the end of the line.
 */
const TIME_BEFORE_TTL = /[=<]\s?(\d+(?:[.,]\d+)?)\s?[^\s=<\d]{1,12}\s+TTL=\d/i;
const TIME_AT_END = /[=<]\s?(\d+(?:[.,]\d+)?)\s?[^\s=<\d)]{1,4}$/i;
/** `ttl=64`, `hlim=64`: printed for a reply and for nothing else. Windows prints none for IPv6. */
const HOPS = /\b(?:ttl|hlim)=\d+/i;

function readReply(line: string): Reply | undefined {
  const time = TIME.exec(line) ?? TIME_BEFORE_TTL.exec(line) ?? TIME_AT_END.exec(line);
  const from = addressBeforeColon(line);
  if (time === null || from === undefined) return undefined;
  if (!HOPS.test(line) && !from.address.includes(':')) return undefined;
  return {
    from: from.address,
    rttMs: Number((time[1] ?? '').replace(',', '.')),
    sequence: /\b(?:icmp_)?seq[=: ](\d+)/i.exec(line)?.[1],
  };
}

/**
 * The address a line speaks of, and what it says behind the next colon: `64 bytes from A: …`, `Réponse de A : …`,
 * `来自 A 的回复: …`, `16 bytes from A, icmp_seq=…`. Headings and statistics end with the colon and so say nothing.
 * IPv6 carries colons itself, so a word counts as an address only as a whole.
 */
function addressBeforeColon(line: string): { readonly address: string; readonly rest: string } | undefined {
  const words = line.split(/\s+/, 32);
  for (const [index, word] of words.entries()) {
    const address = readAddress(word);
    if (address === undefined) continue;
    const behind = words.slice(index);
    const colon = behind.findIndex((part, place) => (place === 0 ? /[:,]$/ : /:$/).test(part));
    const rest = colon < 0 ? '' : behind.slice(colon + 1).join(' ');
    return rest === '' ? undefined : { address, rest };
  }
  return undefined;
}

function readAddress(word: string): string | undefined {
  const bare = word
    .replace(/^\(/, '')
    .replace(/[:,]$/, '')
    .replace(/\)$/, '')
    .replace(/%[\w.-]+$/, '');
  return (
    parseAddress(bare) ?? parseAddress(bare.replace(/:$/, '')) ?? parseAddress(GLUED.exec(word)?.[1] ?? '')
  );
}

/** Windows in Korean hangs a particle on the address, and in French code page 850 a hard space (from memory). */
const GLUED = /^((?:\d{1,3}\.){3}\d{1,3}|[0-9a-f]*:[0-9a-f:]*[0-9a-f:])(?=[^\x20-\x7e])/i;

/** iputils `From A icmp_seq=1 Destination Host Unreachable`, older with a colon. Redirects are advice, no error. */
const FROM_LINE = /^From (\S+?):? icmp_seq=\d+ (.+)$/i;
const REDIRECT = /^Redirect/i;

function readError(line: string): PingReading['unreachable'] {
  const iputils = FROM_LINE.exec(line);
  if (iputils) {
    const detail = iputils[2] ?? '';
    return REDIRECT.test(detail) ? undefined : withBy(detail, readAddress(iputils[1] ?? ''));
  }
  const spoken = addressBeforeColon(line);
  if (spoken === undefined || TIME.test(line) || HOPS.test(line) || TIME_AT_END.test(line)) return undefined;
  // busybox and BSD head their output `PING A (A): 56 data bytes`.
  if (REDIRECT.test(spoken.rest) || /^PING/.test(line)) return undefined;
  return withBy(spoken.rest, spoken.address, ENGLISH_LINE.test(line));
}

/** busybox, BSD and macOS: `From A: …`, `92 bytes from A: …`. Whatever else names an address and an error is Windows, in the user's language. */
const ENGLISH_LINE = /^(?:From |\d+ bytes from )/i;

function withBy(
  detail: string,
  by: string | undefined,
  english = true,
): NonNullable<PingReading['unreachable']> {
  const bare = detail.replace(/[.:。]$/, '').trim();
  // U+FFFD: bytes of a console code page, which nobody could read.
  const text = bare.includes('\ufffd') ? 'not reachable, in words of another code page' : bare;
  const cause = english ? causeOf(text) : 'icmp-error';
  return by === undefined ? { cause, detail: text } : { cause, detail: text, by };
}

/** The fixed English of iputils, busybox and BSD. What Windows says in the language of its user has a shape, no kind: `icmp-error`. */
const KINDS: readonly (readonly [RegExp, Cause])[] = [
  [/prohibit|administrativ|filter/i, 'filtered'],
  [
    /^destination net(?:work)? unreachable|no route to (?:destination|host)$|^network is unreachable/i,
    'net-unreachable',
  ],
  [/^(?:destination )?(?:host unreachable|host is down)|address unreachable/i, 'host-unreachable'],
  [/(?:port|protocol) unreachable/i, 'port-unreachable'],
  [/time to live|ttl|time exceeded|hop limit/i, 'ttl-exceeded'],
  [/frag(?:mentation)? needed|packet too big|message too long/i, 'too-big'],
];

function causeOf(detail: string): Cause {
  return KINDS.find(([pattern]) => pattern.test(detail))?.[1] ?? 'icmp-error';
}

const LOCAL_ERRORS: readonly (readonly [RegExp, string, Cause])[] = [
  [/network is unreachable/i, 'network is unreachable', 'net-unreachable'],
  [/network is down/i, 'network is down', 'interface-down'],
  [/no route to host/i, 'no route to host', 'host-unreachable'],
  [/host is down/i, 'host is down', 'host-unreachable'],
  // Windows error 1231, ERROR_NETWORK_UNREACHABLE (from memory).
  [/^PING[\s\ufffd]?: .*\b1231\b/, 'network is unreachable', 'net-unreachable'],
];

function readLocalError(line: string): PingReading['unreachable'] {
  if (/^\d+ bytes from/i.test(line) || FROM_LINE.test(line)) return undefined;
  const match = LOCAL_ERRORS.find(([pattern]) => pattern.test(line));
  return match === undefined ? undefined : { cause: match[2], detail: match[1] };
}

const FAULTS: readonly (readonly [RegExp, PingFault])[] = [
  [/send(?:msg|to)?: (?:operation not permitted|permission denied)/i, 'send-forbidden'],
  [/(?:socket|raw).*(?:operation not permitted|permission denied)/i, 'not-permitted'],
  [
    /permission denied \(are you root\?\)|missing cap_net_raw|must be root|must run as root/i,
    'not-permitted',
  ],
  [/address family (?:for hostname )?not supported/i, 'no-family'],
  [
    /(?:invalid|unrecognized|illegal|unknown) option|option requires an argument|bad timing interval/i,
    'bad-option',
  ],
  // ping6 of macOS before 15 and of the BSDs (from memory): `only root may use interval < 1s`.
  [
    /cannot flood|minimal interval|invalid argument|only root may use interval|interval too short/i,
    'bad-option',
  ],
  // Windows heads its own failures so, in capitals: `PING: transmit failed. General failure.`, `PING : échec …`; in Japanese in small
  // letters, as iputils does with its English.
  [/^(?:PING[\s\ufffd]?: |ping: [\u0080-\uffff])(?!.*\b1231\b)/, 'send-failed'],
  [/unknown host|name or service not known|bad address|cannot resolve/i, 'bad-address'],
];

function readFault(line: string): PingFault | undefined {
  if (/^\d+ bytes from/i.test(line)) return undefined;
  return FAULTS.find(([pattern]) => pattern.test(line))?.[1];
}

/**
 * `2 packets transmitted, …`, or a statistics line of Windows in any language: three `= N`, of which the first is the sum of the others.
 * A reply has three as well (bytes, time, TTL), and so have the times at the end, which have no heading in their line.
 */
function readSent(line: string): number | undefined {
  const unix = /^(\d+) packets transmitted/.exec(line);
  if (unix) return Number(unix[1]);
  if (HOPS.test(line)) return undefined;
  const windows = /^[^=]+[:：]\s?[^=:]+= ?(\d+)[^=]+= ?(\d+)[^=]+= ?(\d+)/.exec(line);
  const [sent = 0, received = 0, lost = -1] = (windows ?? []).slice(1).map(Number);
  return sent === received + lost ? sent : undefined;
}
