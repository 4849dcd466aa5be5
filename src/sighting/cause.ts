/**
 * Why a question was not put, or brought no answer, as a name that the judge reads. Never a sentence: the `reason` beside it is for
 * people, and no verdict may change with its language (DESIGN 5).
 */
import { z } from 'zod';

/** Nothing was put on the wire, or this laptop kept it from leaving. */
const NOT_ASKED_CAUSES = [
  /** The run was ended by the person or its time limit. */
  'interrupted',
  /** A program that the question needs is not installed, or cannot be started. */
  'not-installed',
  /** This system forbids it: a right, a local packet filter, a prohibiting route. */
  'not-permitted',
  /** macOS without the Local Network permission: every socket says "no route to host". */
  'local-network-denied',
  /** A failure on this laptop, such as a program that broke. */
  'local-failure',
  /** This laptop ran out of open files, sockets or memory: the question can be put again. */
  'laptop-full',
  /** The port of the laptop that the question leaves by has no link, or went away. */
  'interface-down',
  /** This laptop has no address or no route that leads there. */
  'no-route',
  /** A link-local address of IPv6, and it is not known on which port of this laptop it lies (RFC 4007 §6). */
  'port-unknown',
  /** The address is this laptop's own. */
  'own-address',
  /** The plan does not state it, so there is nothing to ask. */
  'not-planned',
  /** `--only`, or a swept address: not part of what this run looks at. */
  'out-of-scope',
  /** Nobody on the link claims the address, so that no further question was needed. */
  'nobody-there',
  /** Another answer had settled it already, or it waits for one that did not come (path MTU without an echo). */
  'needs-another-answer',
  /** The credential that the plan names has no secret at hand. */
  'secret-missing',
  /** The plan names neither this credential nor any. */
  'no-credential',
  /** This protocol, or this place (a remote shell), cannot put the question. */
  'not-supported',
  /** Behind a router: ARP and neighbour discovery end there. */
  'behind-router',
  /** The neighbour table was full, or too much was asked at once. */
  'no-room',
  /** The time that one device may cost was used up. */
  'bound-reached',
  /** A fault of the program itself. */
  'program-fault',
  /** A place that was looked from did not answer, or sent what could not be read. */
  'vantage-failed',
] as const;

/** Asked, and this is what came instead of the answer. */
const NO_ANSWER_CAUSES = [
  /** ICMP 3/0, or the system's own ENETUNREACH: no way to the network (RFC 792). */
  'net-unreachable',
  /** ICMP 3/1, EHOSTUNREACH, EHOSTDOWN: the last router, or ARP here, found nobody (RFC 1812 §5.2.7.1). */
  'host-unreachable',
  /** ICMP 3/9, 3/10, 3/13: somebody on the way forbids it (RFC 1122 §3.2.2.1, RFC 1812 §5.2.7.1). */
  'filtered',
  /** An ICMP error whose kind cannot be told: the ping of this system writes it in the language of its user. */
  'icmp-error',
  /** ICMP 3/3 or 3/2 of the host: nobody listens there (RFC 792). */
  'port-unreachable',
  /** ICMP 11: a loop, or too far away (RFC 792). */
  'ttl-exceeded',
  /** ICMP 3/4 or ICMPv6 2: too large for a hop on the way (RFC 1191, RFC 4443 §3.2). */
  'too-big',
  /** A RST (RFC 9293 §3.10.7.1). */
  'refused',
  /** Nothing came within the patience. */
  'timeout',
  /** The connection was taken and then closed in silence. */
  'closed-without-answer',
  /** The connection was taken and then reset. */
  'reset',
  /** The connection was taken and nothing was said. */
  'accepted-and-silent',
  /** A TLS alert came (RFC 8446 §6): TLS is spoken there. */
  'tls-alert',
  /** What came is no TLS, or TLS failed without an alert. */
  'tls-failed',
  /** What came breaks the rules of the protocol. */
  'malformed',
  /** What came ends in the middle. */
  'truncated',
  /** Another protocol speaks there. */
  'other-protocol',
  /** An answer came from another address than the one asked. */
  'wrong-source',
  /** The answer is valid and says no: a credential is not accepted. */
  'credential-rejected',
  /** The answer is valid and gives no access to what was asked. */
  'no-access',
  /** The agent's clock and this laptop's disagree (RFC 3414 §3.2). */
  'time-window',
  /** The device says that it is in trouble (HTTP 5xx, iSCSI status class 3). */
  'device-trouble',
  /** A redirect that leads away from the address asked; it was not followed. */
  'redirected-away',
  /** A list without end, or larger than what is kept. */
  'too-much',
] as const;

const CAUSES = [...NOT_ASKED_CAUSES, ...NO_ANSWER_CAUSES, 'unknown'] as const;

/** `unknown` is what a result of an older version reads as; nothing of this version makes it. */
export const causeSchema = z.enum(CAUSES).catch('unknown');
export type Cause = (typeof CAUSES)[number];

/** Could not be asked. `reason` is the sentence for people, `mend` what they can do about it. */
export const notRunSchema = z.object({
  outcome: z.literal('not-run'),
  cause: causeSchema,
  reason: z.string(),
  mend: z.string().optional(),
});
export type NotRun = Readonly<z.infer<typeof notRunSchema>>;
