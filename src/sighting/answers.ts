/** How one question went: echo, connect, a service asked to speak, SNMP, path MTU, iSCSI discovery. Silence and refusal are values. */
export type NotRun = {
  readonly outcome: 'not-run';
  readonly reason: string;
  readonly mend?: string | undefined;
};

/** DESIGN 2, "probe outcome". `unreachable` = an ICMP error or a local routing error said so (`detail` tells which). */
export type IcmpSighting =
  | {
      readonly outcome: 'replied';
      readonly rttMs: number;
      readonly sent: number;
      readonly received: number;
    }
  | { readonly outcome: 'no-reply'; readonly sent: number }
  | { readonly outcome: 'unreachable'; readonly detail: string; readonly by?: string | undefined }
  | NotRun;

export type TcpOutcome = 'accepted' | 'refused' | 'no-reply' | 'unreachable';

export type TcpSighting = {
  readonly port: number;
  /** IANA name or `tcp/8443`. */
  readonly service: string;
} & (
  | {
      readonly outcome: TcpOutcome;
      readonly connectMs?: number | undefined;
      readonly detail?: string | undefined;
    }
  | NotRun
);

/**
 * Proof that the service itself speaks, beyond an open port.
 * proven: the protocol answered as that protocol. other-protocol: something else speaks there. silent: port accepted
 * (or UDP asked) and nothing came. not-run: could not or need not be asked.
 */
export type ServiceProof = {
  readonly service: string;
  readonly protocol: 'tcp' | 'udp';
  readonly port: number;
  /** One short text of what was seen, already cleaned: "200 OK", "SSH-2.0-...", "SNMPv3 engine ...". */
  readonly detail?: string | undefined;
} & ({ readonly outcome: 'proven' | 'other-protocol' | 'silent' | 'refused' | 'unreachable' } | NotRun);

/** How the SNMP question as a whole went for this address. */
export type SnmpSighting =
  | { readonly outcome: 'replied'; readonly version: '1' | '2c' | '3'; readonly credential: string }
  | {
      readonly outcome: 'no-reply' | 'refused' | 'unreachable' | 'rejected';
      readonly credential: string;
      readonly detail?: string | undefined;
    }
  | NotRun;

/** Path MTU by don't-fragment echo. Sizes are IP MTU in octets. */
export type MtuSighting =
  | { readonly outcome: 'passes'; readonly mtu: number }
  | {
      readonly outcome: 'smaller';
      readonly mtu: number;
      readonly asked: number;
      /** local = own interface refused; router = ICMP told; silent = large ones vanish (a switch). */
      readonly told: 'local' | 'router' | 'silent';
      readonly detail?: string | undefined;
    }
  | { readonly outcome: 'no-reply'; readonly asked: number }
  | NotRun;

/** What an iSCSI discovery session at one portal told (RFC 7143 appendix C). */
export type IscsiSighting =
  | {
      readonly outcome: 'listed';
      readonly targets: readonly IscsiTarget[];
      /** TargetAddress values that are no address, cleaned. */
      readonly unreadable?: readonly string[] | undefined;
    }
  | {
      readonly outcome:
        | 'authentication-required'
        | 'redirected'
        | 'rejected'
        | 'not-iscsi'
        | 'half-open'
        | 'garbage'
        | 'refused'
        | 'no-reply'
        | 'unreachable';
      readonly detail?: string | undefined;
      /** Status class and detail as four hex digits where the peer sent one. */
      readonly status?: string | undefined;
    }
  | NotRun;

export interface IscsiTarget {
  readonly name: string;
  readonly portals: readonly IscsiPortal[];
}

export interface IscsiPortal {
  /** Canonical address, or the domain name as sent. */
  readonly address: string;
  readonly port: number;
  readonly tag?: number | undefined;
}
