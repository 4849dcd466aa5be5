/** What a device says of itself, before any login. All text is cleaned (no control or bidi characters) and cut. */
import { z } from 'zod';

const text = z.string();

const httpIdentitySchema = z.object({
  port: z.number(),
  status: z.number(),
  title: text.optional(),
  server: text.optional(),
  location: text.optional(),
  /** The Date header (RFC 9110 §6.6.1) against the laptop's clock when it came: seconds that the device is ahead; negative: behind. */
  clockAheadSeconds: z.number().optional(),
});
export type HttpIdentity = Readonly<z.infer<typeof httpIdentitySchema>>;

const certificateSchema = z.object({
  port: z.number().default(443),
  subject: text,
  issuer: text.default(''),
  altNames: z.array(text).readonly(),
  /** Lower-case hex SHA-256 of the DER, colon separated. */
  fingerprint256: text,
  validFrom: text,
  validTo: text,
  selfSigned: z.boolean().default(false),
});
export type CertificateIdentity = Readonly<z.infer<typeof certificateSchema>>;

const snmpIdentitySchema = z.object({
  sysName: text.optional(),
  sysDescr: text.optional(),
  sysObjectId: text.optional(),
  sysLocation: text.optional(),
  sysContact: text.optional(),
  /** sysUpTime in hundredths of a second. */
  upTimeTicks: z.number().optional(),
  /** entPhysicalSerialNum of the chassis rows, then of others. */
  serials: z.array(text).readonly().optional(),
  /** entPhysicalSoftwareRev or entPhysicalFirmwareRev of the chassis rows (RFC 6933). */
  software: text.optional(),
  engineId: text.optional(),
});
export type SnmpIdentity = Readonly<z.infer<typeof snmpIdentitySchema>>;

const redfishIdentitySchema = z.object({
  uuid: text.optional(),
  product: text.optional(),
  vendor: text.optional(),
  redfishVersion: text.optional(),
});
export type RedfishIdentity = Readonly<z.infer<typeof redfishIdentitySchema>>;

export const identitySchema = z.object({
  http: httpIdentitySchema.optional(),
  https: httpIdentitySchema.optional(),
  certificate: certificateSchema.optional(),
  ssh: z
    .object({ line: text, port: z.number().default(22) })
    .readonly()
    .optional(),
  snmp: snmpIdentitySchema.optional(),
  redfish: redfishIdentitySchema.optional(),
  /** Facts that were not the same in two connections of this run: "ssh line", "certificate fingerprint", ... */
  changed: z
    .array(z.object({ what: text, first: text, later: text }).readonly())
    .readonly()
    .optional(),
});
/** What the device says of itself, by source. */
export type IdentitySighting = Readonly<z.infer<typeof identitySchema>>;
