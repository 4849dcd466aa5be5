/** Everything the scheduler can ask, as functions. Tests pass their own; src/run/real.ts has the real ones. */
import type { SnmpCredential } from '../plan/model.js';
import type { RedfishAnswer, RedfishTarget } from '../probe/redfish.js';
import type { ServiceProbe, ServiceTarget } from '../probe/service-probe.js';
import type { Probe, ResolvedSnmp } from '../probe/types.js';
import type {
  DeviceLinks,
  FabricTables,
  IcmpSighting,
  IscsiSighting,
  MtuSighting,
  PowerSupplies,
  SwitchTables,
  TcpSighting,
} from '../sighting/types.js';
import type { SnmpAnswer, SnmpTarget } from '../snmp/agent.js';

export type Credential = ResolvedSnmp | { readonly missing: string };

export interface ProbeSet {
  readonly icmp: Probe<{ readonly address: string }, IcmpSighting>;
  readonly tcp: Probe<ServiceTarget, TcpSighting>;
  readonly prove: ServiceProbe;
  readonly snmp: Probe<SnmpTarget, SnmpAnswer>;
  readonly redfish: Probe<RedfishTarget, RedfishAnswer>;
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
  readonly fabricTables: Probe<
    { readonly address: string; readonly credential: ResolvedSnmp; readonly switch: string },
    FabricTables
  >;
  readonly powerSupplies: Probe<
    { readonly address: string; readonly credential: ResolvedSnmp; readonly device: string },
    PowerSupplies
  >;
  readonly resolveCredential: (credential: SnmpCredential) => Promise<Credential>;
}
