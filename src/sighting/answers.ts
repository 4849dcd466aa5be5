/** How one question went: echo, connect, a service asked to speak, SNMP, path MTU, iSCSI discovery. Silence and refusal are values. */
import { z } from 'zod';
import { causeSchema, notRunSchema } from './cause.js';

const text = z.string();
/** Why, where it is known; absent in results of older versions. */
const why = { cause: causeSchema.optional(), detail: text.optional() };

/** DESIGN 2, "probe outcome". `unreachable` = an ICMP error or a local routing error said so (`cause` tells which). */
export const icmpSchema = z.discriminatedUnion('outcome', [
  z.object({
    outcome: z.literal('replied'),
    rttMs: z.number(),
    sent: z.number().default(1),
    received: z.number().default(1),
  }),
  z.object({ outcome: z.literal('no-reply'), sent: z.number().default(1), ...why }),
  z.object({
    outcome: z.literal('unreachable'),
    cause: causeSchema,
    detail: text,
    /** Address that sent the ICMP error. */
    by: text.optional(),
  }),
  notRunSchema,
]);
export type IcmpSighting = Readonly<z.infer<typeof icmpSchema>>;

const tcpOutcomes = ['accepted', 'refused', 'no-reply', 'unreachable'] as const;
export type TcpOutcome = (typeof tcpOutcomes)[number];

/** `service`: IANA name or `tcp/8443`. */
const tcpTarget = { port: z.number(), service: text };
export const tcpSchema = z.union([
  z.object({ ...tcpTarget, ...notRunSchema.shape }),
  z.object({ ...tcpTarget, outcome: z.enum(tcpOutcomes), connectMs: z.number().optional(), ...why }),
]);
export type TcpSighting = Readonly<z.infer<typeof tcpSchema>>;

/**
 * Proof that the service itself speaks, beyond an open port.
 * proven: the protocol answered as that protocol. other-protocol: something else speaks there. silent: port accepted
 * (or UDP asked) and nothing came. not-run: could not or need not be asked.
 */
const proofTarget = {
  service: text,
  protocol: z.enum(['tcp', 'udp']),
  port: z.number(),
  /** One short text of what was seen, already cleaned: "200 OK", "SSH-2.0-...", "SNMPv3 engine ...". */
  detail: text.optional(),
};
export const proofSchema = z.union([
  z.object({ ...proofTarget, ...notRunSchema.shape }),
  z.object({
    ...proofTarget,
    outcome: z.enum(['proven', 'other-protocol', 'silent', 'refused', 'unreachable']),
    cause: causeSchema.optional(),
  }),
]);
export type ServiceProof = Readonly<z.infer<typeof proofSchema>>;

/** How the SNMP question as a whole went for this address. `rejected`: the agent answered and would not have us. */
export const snmpSchema = z.discriminatedUnion('outcome', [
  z.object({
    outcome: z.literal('replied'),
    version: z.enum(['1', '2c', '3']).catch('2c'),
    credential: text.default(''),
  }),
  z.object({
    outcome: z.enum(['no-reply', 'refused', 'unreachable', 'rejected']),
    credential: text.default(''),
    ...why,
  }),
  notRunSchema,
]);
export type SnmpSighting = Readonly<z.infer<typeof snmpSchema>>;

/** Path MTU by don't-fragment echo. Sizes are IP MTU in octets. */
export const mtuSchema = z.discriminatedUnion('outcome', [
  z.object({ outcome: z.literal('passes'), mtu: z.number() }),
  z.object({
    outcome: z.literal('smaller'),
    mtu: z.number(),
    asked: z.number(),
    /** local = own interface refused; router = ICMP told; silent = large ones vanish (a switch, or a device that limits echo size). */
    told: z.enum(['local', 'router', 'silent']),
    detail: text.optional(),
  }),
  z.object({ outcome: z.literal('no-reply'), asked: z.number(), ...why }),
  notRunSchema,
]);
export type MtuSighting = Readonly<z.infer<typeof mtuSchema>>;

const iscsiPortalSchema = z.object({
  /** Canonical address, or the domain name as sent. */
  address: text,
  port: z.number(),
  tag: z.number().optional(),
});
export type IscsiPortal = Readonly<z.infer<typeof iscsiPortalSchema>>;

const iscsiTargetSchema = z.object({ name: text, portals: z.array(iscsiPortalSchema).readonly() });
export type IscsiTarget = Readonly<z.infer<typeof iscsiTargetSchema>>;

/** What an iSCSI discovery session at one portal told (RFC 7143 appendix C). */
export const iscsiSchema = z.discriminatedUnion('outcome', [
  z.object({
    outcome: z.literal('listed'),
    targets: z.array(iscsiTargetSchema).readonly().default([]),
    /** TargetAddress values that are no address, cleaned. */
    unreadable: z.array(text).readonly().optional(),
    /** How many portals were left out, where the list was longer than what is kept. */
    cut: z.number().optional(),
  }),
  z.object({
    outcome: z.enum([
      'authentication-required',
      'redirected',
      'rejected',
      'not-iscsi',
      'half-open',
      'garbage',
      'refused',
      'no-reply',
      'unreachable',
    ]),
    ...why,
    /** Status class and detail as four hex digits where the peer sent one. */
    status: text.optional(),
  }),
  notRunSchema,
]);
export type IscsiSighting = Readonly<z.infer<typeof iscsiSchema>>;
