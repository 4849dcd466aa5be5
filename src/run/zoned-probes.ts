/** Link-local addresses are asked with the port that they lie on; what comes back speaks of the address as the plan writes it. */
import type { Probe } from '../probe/types.js';
import type { ProbeSet } from './probe-set.js';

/** `onWire`: the address as sockets and programs take it. */
export function zonedProbes(probes: ProbeSet, onWire: (address: string) => string): ProbeSet {
  const asked =
    <Target extends { readonly address: string }, Outcome>(
      probe: Probe<Target, Outcome>,
    ): Probe<Target, Outcome> =>
    (target, patience, signal) =>
      probe({ ...target, address: onWire(target.address) }, patience, signal);
  const read =
    <Target extends { readonly address: string }, Table extends { readonly askedAt: string }>(
      probe: Probe<Target, Table>,
    ): Probe<Target, Table> =>
    async (target, patience, signal) => ({
      ...(await asked(probe)(target, patience, signal)),
      askedAt: target.address,
    });
  return {
    icmp: asked(probes.icmp),
    tcp: asked(probes.tcp),
    prove: asked(probes.prove),
    snmp: asked(probes.snmp),
    redfish: asked(probes.redfish),
    iscsi: asked(probes.iscsi),
    mtu: asked(probes.mtu),
    links: read(probes.links),
    switchTables: read(probes.switchTables),
    fabricTables: read(probes.fabricTables),
    powerSupplies: read(probes.powerSupplies),
    resolveCredential: probes.resolveCredential,
  };
}
