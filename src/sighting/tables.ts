/** What SNMP agents and LLDP tell of ports, links and cabling. */
import { z } from 'zod';
import { causeSchema } from './cause.js';

const text = z.string();

const linkStatusSchema = z
  .enum(['up', 'down', 'testing', 'unknown', 'dormant', 'notPresent', 'lowerLayerDown'])
  .catch('unknown');
export type LinkStatus = z.infer<typeof linkStatusSchema>;

/** One port as the device's own SNMP agent tells it (IF-MIB). */
export const linkSchema = z.object({
  ifIndex: z.number(),
  ifName: text.optional(),
  ifDescr: text.optional(),
  ifType: z.number().optional(),
  mac: text.optional(),
  adminStatus: linkStatusSchema.optional(),
  operStatus: linkStatusSchema.optional(),
  /** From ifHighSpeed, or ifSpeed where that is not saturated. */
  speedMbps: z.number().optional(),
  mtu: z.number().optional(),
  addresses: z.array(text).readonly(),
  /** fcmPortWwn, lower-case hex colon separated. */
  wwn: text.optional(),
});
export type LinkSighting = Readonly<z.infer<typeof linkSchema>>;

/** Why a table is not whole; `truncated` says it in words. */
const cut = { truncated: text.optional(), cutBecause: causeSchema.optional() };

/** IF-MIB of one device, asked at one of its addresses. */
export const deviceLinksSchema = z.object({
  device: text,
  controller: text.optional(),
  askedAt: text,
  links: z.array(linkSchema).readonly(),
  ...cut,
});
export type DeviceLinks = Readonly<z.infer<typeof deviceLinksSchema>>;

const switchPortSchema = z.object({
  bridgePort: z.number().optional(),
  ifIndex: z.number(),
  name: text,
  descr: text.optional(),
  alias: text.optional(),
  ifType: z.number().optional(),
  operStatus: linkStatusSchema.optional(),
  speedMbps: z.number().optional(),
  /** ifIndex of the aggregation group (ifType 161) this port is stacked under. */
  aggregate: z.number().optional(),
  /** Port VLAN of untagged frames (dot1qPvid, RFC 4363). */
  pvid: z.number().optional(),
});
export type SwitchPort = Readonly<z.infer<typeof switchPortSchema>>;

const forwardingSchema = z.object({
  mac: text,
  ifIndex: z.number(),
  /** VLAN where the filtering database could be mapped to one, else the fdbId is in `fdb`. */
  vlan: z.number().optional(),
  fdb: z.number().optional(),
  status: z.enum(['other', 'invalid', 'learned', 'self', 'mgmt']).catch('learned'),
});
export type ForwardingEntry = Readonly<z.infer<typeof forwardingSchema>>;

/** IEEE 802.1AB neighbour: from a captured frame or from LLDP-MIB. */
export const neighbourSchema = z.object({
  /** Local side: ifIndex and name on the switch that told it, or the laptop's interface name. */
  localIfIndex: z.number().optional(),
  localPort: text,
  chassisId: text,
  chassisIdSubtype: text.default(''),
  portId: text,
  portIdSubtype: text.default(''),
  portDescription: text.optional(),
  sysName: text.optional(),
  sysDescription: text.optional(),
  managementAddresses: z.array(text).readonly().default([]),
  vlan: z.number().optional(),
  ttlSeconds: z.number().optional(),
});
export type LldpNeighbour = Readonly<z.infer<typeof neighbourSchema>>;

/** One switch's view of its ports, by BRIDGE-MIB / Q-BRIDGE-MIB and LLDP-MIB. */
export const switchTablesSchema = z.object({
  /** Name of the plan's device. */
  switch: text,
  askedAt: text.default(''),
  ports: z.array(switchPortSchema).readonly(),
  forwarding: z.array(forwardingSchema).readonly(),
  neighbours: z.array(neighbourSchema).readonly(),
  ownMacs: z.array(text).readonly(),
  /** VLANs whose forwarding entries were told, where the agent says which there are (dot1qVlanCurrentTable, RFC 4363). */
  vlans: z.array(z.number()).readonly().optional(),
  /** The forwarding table was told per VLAN by Q-BRIDGE-MIB, so that it is of all VLANs; BRIDGE-MIB alone may be of one. */
  allVlans: z.boolean().optional(),
  ...cut,
});
export type SwitchTables = Readonly<z.infer<typeof switchTablesSchema>>;

/** One port name of Fibre Channel that is logged in at one port of a fabric switch (RFC 2837 fcFxLoginTable, RFC 4044 fcmFLoginTable). */
const fabricLoginSchema = z.object({
  /** Lower-case hex, colon separated, 8 octets. */
  portName: text,
  nodeName: text.optional(),
  /** ifIndex of the fabric port where it is known, and how it is called. */
  ifIndex: z.number().optional(),
  port: text,
  fcid: text.optional(),
});
export type FabricLogin = Readonly<z.infer<typeof fabricLoginSchema>>;

const fabricPortSchema = z.object({
  ifIndex: z.number().optional(),
  port: text,
  /** The fabric port's own name. */
  portName: text.optional(),
  operStatus: linkStatusSchema.optional(),
  speedMbps: z.number().optional(),
});
export type FabricPort = Readonly<z.infer<typeof fabricPortSchema>>;

/** One switch's view of its fabric ports. */
export const fabricTablesSchema = z.object({
  switch: text,
  askedAt: text,
  /** Names of the fabric, where the agent tells it. */
  fabricName: text.optional(),
  ports: z.array(fabricPortSchema).readonly(),
  logins: z.array(fabricLoginSchema).readonly(),
  ...cut,
});
export type FabricTables = Readonly<z.infer<typeof fabricTablesSchema>>;

/** Power supplies of a device by its own agent (RFC 6933 entPhysicalTable, RFC 4268 entStateOper). */
export const powerSuppliesSchema = z.object({
  device: text,
  askedAt: text,
  supplies: z
    .array(
      z
        .object({ name: text, state: z.enum(['working', 'not-working', 'unknown']).catch('unknown') })
        .readonly(),
    )
    .readonly(),
});
export type PowerSupplies = Readonly<z.infer<typeof powerSuppliesSchema>>;
