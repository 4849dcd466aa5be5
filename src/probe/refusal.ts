/** What a socket error says about the other side, and what only about this laptop. */

import type { Cause, NotRun } from '../sighting/types.js';

export type Refusal =
  | {
      readonly outcome: 'refused' | 'no-reply' | 'unreachable';
      readonly cause: Cause;
      readonly detail: string;
    }
  | NotRun;

/**
 * Linux turns ICMP 3/0 into ENETUNREACH, 3/1 and 3/13 alike into EHOSTUNREACH, and an ARP question nobody answered into
 * EHOSTUNREACH too (tcp(7), icmp(7); our capture icmp-cases frames 22 and 24): the code cannot tell them apart, so the text does not.
 * A RST is ECONNREFUSED (RFC 9293 §3.10.7.1). EACCES and EPERM on connect come from this laptop (a local packet filter, a
 * prohibiting route) and say nothing about the other side.
 */
const BY_CODE: Readonly<Record<string, Refusal>> = {
  ECONNREFUSED: { outcome: 'refused', cause: 'refused', detail: 'connection refused' },
  ECONNRESET: { outcome: 'refused', cause: 'reset', detail: 'connection reset' },
  ECONNABORTED: { outcome: 'refused', cause: 'reset', detail: 'connection aborted' },
  EPIPE: { outcome: 'refused', cause: 'reset', detail: 'connection closed' },
  ETIMEDOUT: { outcome: 'no-reply', cause: 'timeout', detail: 'the system gave up waiting' },
  EHOSTUNREACH: { outcome: 'unreachable', cause: 'host-unreachable', detail: 'no route to host' },
  // macOS and the BSDs, for some seconds after a neighbour question that nobody answered: silence, remembered.
  EHOSTDOWN: { outcome: 'no-reply', cause: 'timeout', detail: 'nobody answered the neighbour question' },
  ENETUNREACH: { outcome: 'unreachable', cause: 'net-unreachable', detail: 'network is unreachable' },
  ENETDOWN: { outcome: 'unreachable', cause: 'interface-down', detail: 'network is down' },
  ENONET: { outcome: 'unreachable', cause: 'interface-down', detail: 'the laptop is not on the network' },
  ENOPROTOOPT: { outcome: 'unreachable', cause: 'port-unreachable', detail: 'protocol is unreachable' },
  EACCES: notPermitted('EACCES'),
  EPERM: notPermitted('EPERM'),
  EADDRNOTAVAIL: {
    outcome: 'not-run',
    cause: 'no-route',
    reason: 'this laptop has no address or no free port to ask from (EADDRNOTAVAIL)',
  },
  // A black-hole route, or a link-local address without the port that it is on.
  EINVAL: {
    outcome: 'not-run',
    cause: 'no-route',
    reason: 'this laptop has no way to that address (EINVAL)',
  },
  EAFNOSUPPORT: {
    outcome: 'not-run',
    cause: 'not-supported',
    reason: 'this system cannot use that address family (EAFNOSUPPORT)',
  },
  EMFILE: tooMany('EMFILE'),
  ENFILE: tooMany('ENFILE'),
  ENOBUFS: tooMany('ENOBUFS'),
  ENOMEM: tooMany('ENOMEM'),
};

function notPermitted(code: string): Refusal {
  return {
    outcome: 'not-run',
    cause: 'not-permitted',
    reason: `this system forbids the connection (${code}): a local packet filter or a prohibiting route`,
    mend: 'let this program through the local packet filter',
  };
}

function tooMany(code: string): Refusal {
  return {
    outcome: 'not-run',
    cause: 'laptop-full',
    reason: `this laptop ran out of open files, sockets or memory (${code})`,
    mend: 'let more files be open (ulimit -n 1024) or close other programs, then go on with check --resume',
  };
}

/** The system's code for: no more open files, sockets or memory on this laptop. */
export function isFull(code: string): boolean {
  const known = BY_CODE[code];
  return known?.outcome === 'not-run' && known.cause === 'laptop-full';
}

export function refusalOf(error: unknown): Refusal {
  const code = errorCode(error);
  return (
    BY_CODE[code] ?? {
      outcome: 'not-run',
      cause: 'local-failure',
      reason: `the system answered ${code === '' ? 'an error' : code}`,
    }
  );
}

/** The code of a Node error, or "". Never its message: a message may quote what was sent. */
export function errorCode(error: unknown): string {
  if (typeof error !== 'object' || error === null || !('code' in error)) return '';
  return typeof error.code === 'string' && /^[A-Z][A-Z0-9_]{2,60}$/.test(error.code) ? error.code : '';
}

/**
 * How a connection ended that was broken off. Node calls an orderly close before the answer a reset, too; a real one has the number of the
 * system's error.
 */
export function closeCause(error: unknown): 'reset' | 'closed-without-answer' {
  const numbered =
    typeof error === 'object' && error !== null && 'errno' in error && error.errno !== undefined;
  return numbered && errorCode(error) === 'ECONNRESET' ? 'reset' : 'closed-without-answer';
}

export const INTERRUPTED = { outcome: 'not-run', cause: 'interrupted', reason: 'interrupted' } as const;
