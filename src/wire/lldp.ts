/** LLDP frames (IEEE 802.1AB): payload of EtherType 88cc -> what the neighbour says of itself. All text is cleaned. */
import type { LldpNeighbour } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { textOf, u8, u16, u32 } from './bytes.js';
import { type Decoded, decoded, refuse } from './decoded.js';
import { chassisId, type LldpId, networkAddress, portId } from './lldp-id.js';
import { splitTlvs, TLV, type Tlv } from './lldp-tlv.js';

export interface LldpFrame {
  readonly chassis: LldpId;
  readonly port: LldpId;
  /** 0 = the neighbour says good-bye. */
  readonly ttlSeconds: number;
  readonly portDescription?: string | undefined;
  readonly sysName?: string | undefined;
  readonly sysDescription?: string | undefined;
  /** Bit masks as on the wire: bit 2 (0x04) bridge, bit 4 (0x10) router, bit 7 (0x80) station only. */
  readonly capabilities?: { readonly supported: number; readonly enabled: number } | undefined;
  readonly managementAddresses: readonly string[];
  /** Port VLAN id (IEEE 802.1Q annex D.2.1); absent where it is 0, "not supported". */
  readonly vlan?: number | undefined;
  readonly vlanNames: readonly { readonly vlan: number; readonly name: string }[];
  /** IEEE 802.3 maximum frame size, in octets with header and FCS. */
  readonly maxFrameSize?: number | undefined;
}

/** IEEE 802.1 and 802.3 organisationally unique identifiers. */
const ORGANISATION_8021 = 0x0080c2;
const ORGANISATION_8023 = 0x00120f;

/** Kept of one frame, which may be of 9,000 octets. */
const ADDRESS_LIMIT = 16;
const VLAN_NAME_LIMIT = 64;

/** The three mandatory TLVs come first, in order (§8.2 of the standard); optional ones that are malformed are left out. */
export function decodeLldp(payload: Uint8Array): Decoded<LldpFrame> {
  const split = splitTlvs(payload);
  if (!split.ok) return split;
  const [first, second, third, ...optional] = split.value;
  const chassis = fieldOf(first, TLV.chassisId);
  if (chassis === undefined) return refuse('malformed', first?.at ?? 0, 'LLDP: no chassis id first');
  const port = fieldOf(second, TLV.portId);
  if (port === undefined) return refuse('malformed', second?.at ?? 0, 'LLDP: no port id second');
  const timeToLive = fieldOf(third, TLV.timeToLive);
  if (timeToLive === undefined) return refuse('malformed', third?.at ?? 0, 'LLDP: no time to live third');
  const text = (type: number) => optionalText(optional, type);
  const organisation = optional.filter((tlv) => tlv.type === TLV.organisation && tlv.value.length >= 4);
  const capabilities = optional
    .map((tlv) => fieldOf(tlv, TLV.capabilities, 4))
    .find((value) => value !== undefined);
  return decoded({
    chassis: chassisId(chassis),
    port: portId(port),
    ttlSeconds: u16(timeToLive, 0),
    portDescription: text(TLV.portDescription),
    sysName: text(TLV.systemName),
    sysDescription: text(TLV.systemDescription),
    capabilities: capabilities && { supported: u16(capabilities, 0), enabled: u16(capabilities, 2) },
    managementAddresses: optional.flatMap(managementAddress).slice(0, ADDRESS_LIMIT),
    vlan: portVlan(organisation),
    vlanNames: organisation.flatMap(vlanName).slice(0, VLAN_NAME_LIMIT),
    maxFrameSize: maxFrameSize(organisation),
  });
}

/** The same in the form that sightings keep, seen at a port of the laptop. */
export function lldpNeighbour(frame: LldpFrame, localPort: string): LldpNeighbour {
  return {
    localPort,
    chassisId: frame.chassis.id,
    chassisIdSubtype: frame.chassis.subtype,
    portId: frame.port.id,
    portIdSubtype: frame.port.subtype,
    portDescription: frame.portDescription,
    sysName: frame.sysName,
    sysDescription: frame.sysDescription,
    managementAddresses: frame.managementAddresses,
    vlan: frame.vlan,
    ttlSeconds: frame.ttlSeconds,
  };
}

/** Value of a TLV that is of this type and long enough. */
function fieldOf(tlv: Tlv | undefined, type: number, atLeast = 2): Uint8Array | undefined {
  return tlv !== undefined && tlv.type === type && tlv.value.length >= atLeast ? tlv.value : undefined;
}

function optionalText(tlvs: readonly Tlv[], type: number): string | undefined {
  const tlv = tlvs.find((candidate) => candidate.type === type && candidate.value.length > 0);
  return tlv && cleanText(textOf(tlv.value));
}

/** §8.5.9: length of subtype and address, subtype (address family), address; interface number and OID follow. */
function managementAddress(tlv: Tlv): readonly string[] {
  if (tlv.type !== TLV.managementAddress) return [];
  const length = u8(tlv.value, 0);
  if (length + 1 > tlv.value.length) return [];
  const address = networkAddress(tlv.value.subarray(1, 1 + length));
  return address === undefined ? [] : [address];
}

function isOrganisation({ value }: Tlv, identifier: number, subtype: number, atLeast: number): boolean {
  return u32(value, 0) === identifier * 0x100 + subtype && value.length >= atLeast;
}

function portVlan(tlvs: readonly Tlv[]): number | undefined {
  const tlv = tlvs.find((candidate) => isOrganisation(candidate, ORGANISATION_8021, 1, 6));
  const vlan = tlv && u16(tlv.value, 4) & 0x0fff;
  return vlan === 0 ? undefined : vlan;
}

/** IEEE 802.1Q annex D.2.3: VLAN id, length of the name, name. */
function vlanName(tlv: Tlv): readonly { vlan: number; name: string }[] {
  if (!isOrganisation(tlv, ORGANISATION_8021, 3, 7)) return [];
  const length = u8(tlv.value, 6);
  if (7 + length > tlv.value.length) return [];
  return [{ vlan: u16(tlv.value, 4) & 0x0fff, name: cleanText(textOf(tlv.value.subarray(7, 7 + length))) }];
}

function maxFrameSize(tlvs: readonly Tlv[]): number | undefined {
  const tlv = tlvs.find((candidate) => isOrganisation(candidate, ORGANISATION_8023, 4, 6));
  return tlv && u16(tlv.value, 4);
}
