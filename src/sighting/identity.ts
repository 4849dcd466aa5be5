/** What a box says of itself, before any login. */
/** What the box says of itself, by source. All text is cleaned (no control or bidi characters) and cut. */
export interface IdentitySighting {
  readonly http?: HttpIdentity | undefined;
  readonly https?: HttpIdentity | undefined;
  readonly certificate?: CertificateIdentity | undefined;
  readonly ssh?: { readonly line: string; readonly port: number } | undefined;
  readonly snmp?: SnmpIdentity | undefined;
  readonly redfish?: RedfishIdentity | undefined;
  /** Facts that were not the same in two connections of this run: "ssh line", "certificate fingerprint", ... */
  readonly changed?:
    | readonly { readonly what: string; readonly first: string; readonly later: string }[]
    | undefined;
}

export interface HttpIdentity {
  readonly port: number;
  readonly status: number;
  readonly title?: string | undefined;
  readonly server?: string | undefined;
  readonly location?: string | undefined;
}

export interface CertificateIdentity {
  readonly port: number;
  readonly subject: string;
  readonly issuer: string;
  readonly altNames: readonly string[];
  /** Lower-case hex SHA-256 of the DER, colon separated. */
  readonly fingerprint256: string;
  readonly validFrom: string;
  readonly validTo: string;
  readonly selfSigned: boolean;
}

export interface SnmpIdentity {
  readonly sysName?: string | undefined;
  readonly sysDescr?: string | undefined;
  readonly sysObjectId?: string | undefined;
  readonly sysLocation?: string | undefined;
  readonly sysContact?: string | undefined;
  readonly upTimeTicks?: number | undefined;
  /** entPhysicalSerialNum of the chassis rows, then of others. */
  readonly serials?: readonly string[] | undefined;
  readonly engineId?: string | undefined;
}

export interface RedfishIdentity {
  readonly uuid?: string | undefined;
  readonly product?: string | undefined;
  readonly vendor?: string | undefined;
  readonly redfishVersion?: string | undefined;
}
