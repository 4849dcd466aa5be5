/** Everything the scheduler can ask, as functions. Tests pass their own; src/visit/real-probes.ts has the real ones. */
import type { SnmpCredential } from '../plan/model.js';
import type { ServiceProbe } from '../probe/service-probe.js';
import type { Probe, ResolvedSnmp } from '../probe/types.js';
import type {
  DeviceLinks,
  IcmpSighting,
  IscsiSighting,
  MtuSighting,
  RedfishIdentity,
  SnmpIdentity,
  SnmpSighting,
  SwitchTables,
  TcpOutcome,
} from '../sighting/types.js';

export interface TcpAnswer {
  readonly outcome: TcpOutcome | 'not-run';
  readonly connectMs?: number | undefined;
  readonly detail?: string | undefined;
  readonly reason?: string | undefined;
}

export interface SnmpAnswer {
  readonly sighting: SnmpSighting;
  readonly identity?: SnmpIdentity | undefined;
}

export interface ProbeSet {
  readonly icmp: Probe<{ readonly address: string }, IcmpSighting>;
  readonly tcp: Probe<{ readonly address: string; readonly port: number }, TcpAnswer>;
  readonly prove: ServiceProbe;
  readonly snmp: Probe<{ readonly address: string; readonly credential: ResolvedSnmp }, SnmpAnswer>;
  readonly redfish: Probe<{ readonly address: string; readonly port: number }, RedfishIdentity | undefined>;
  readonly iscsi: Probe<{ readonly address: string; readonly port: number }, IscsiSighting>;
  readonly mtu: Probe<
    { readonly address: string; readonly plannedMtu: number; readonly interfaceMtu?: number | undefined },
    MtuSighting
  >;
  readonly links: Probe<
    {
      readonly address: string;
      readonly credential: ResolvedSnmp;
      readonly device: string;
      readonly controller?: string | undefined;
    },
    DeviceLinks
  >;
  readonly switchTables: Probe<
    { readonly address: string; readonly credential: ResolvedSnmp; readonly switch: string },
    SwitchTables
  >;
  readonly resolveCredential: (credential: SnmpCredential) => ResolvedSnmp | { readonly missing: string };
}
