/**
 * For systems whose loopback is 127.0.0.1 alone (macOS): every planned address and port gets a port of its own on 127.0.0.1, and the
 * probes are pointed there. What comes back is written down under the planned address, and judged like any other answer.
 */
import type { PlannedService } from '../plan/model.js';
import type { ResolvedSnmp } from '../probe/types.js';
import type { ProbeSet } from '../run/probe-set.js';
import type { IdentitySighting } from '../sighting/types.js';
import type { Place } from './listening.js';

const ONLY_ADDRESS = '127.0.0.1';

export interface Detour {
  /** Where a planned place really is. */
  to(address: string, port: number): Place;
}

/** `places` are all that the plan names; each gets the next port from `firstPort` on. */
export function detourFor(places: readonly Place[], firstPort: number): Detour {
  const ports = new Map<string, number>();
  for (const place of places) {
    const key = keyOf(place.address, place.port);
    if (!ports.has(key)) ports.set(key, firstPort + ports.size);
  }
  return {
    to: (address, port) => {
      const mapped = ports.get(keyOf(address, port));
      return mapped === undefined ? { address, port } : { address: ONLY_ADDRESS, port: mapped };
    },
  };
}

function keyOf(address: string, port: number): string {
  return `${address} ${port}`;
}

/** The same probes, pointed at where the places really are. */
export function pointed(probes: ProbeSet, detour: Detour): ProbeSet {
  const service = (address: string, planned: PlannedService) => {
    const { address: real, port } = detour.to(address, planned.port);
    return { address: real, service: { ...planned, port } };
  };
  const credential = (address: string, planned: ResolvedSnmp): ResolvedSnmp => ({
    ...planned,
    port: detour.to(address, planned.port).port,
  });
  return {
    ...probes,
    icmp: (target, ...rest) => probes.icmp({ ...target, address: ONLY_ADDRESS }, ...rest),
    mtu: (target, ...rest) => probes.mtu({ ...target, address: ONLY_ADDRESS }, ...rest),
    iscsi: ({ address, port }, ...rest) => probes.iscsi(detour.to(address, port), ...rest),
    redfish: (target, ...rest) =>
      probes.redfish({ ...target, ...detour.to(target.address, target.port) }, ...rest),
    tcp: async (target, ...rest) => ({
      ...(await probes.tcp(service(target.address, target.service), ...rest)),
      port: target.service.port,
    }),
    prove: async (target, ...rest) => {
      const { port } = target.service;
      const at = { ...target, ...service(target.address, target.service) };
      const { proof, tcp, identity, iscsi } = await probes.prove(at, ...rest);
      return {
        proof: { ...proof, port },
        ...(tcp === undefined ? {} : { tcp: { ...tcp, port } }),
        ...(iscsi === undefined ? {} : { iscsi }),
        ...(identity === undefined ? {} : { identity: withPort(identity, port) }),
      };
    },
    snmp: async (target, ...rest) => {
      const answer = await probes.snmp({ ...target, ...service(target.address, target.service) }, ...rest);
      return { ...answer, proof: { ...answer.proof, port: target.service.port } };
    },
    links: async (target, ...rest) => ({
      ...(await probes.links(
        { ...target, address: ONLY_ADDRESS, credential: credential(target.address, target.credential) },
        ...rest,
      )),
      askedAt: target.address,
    }),
    switchTables: async (target, ...rest) => ({
      ...(await probes.switchTables(
        { ...target, address: ONLY_ADDRESS, credential: credential(target.address, target.credential) },
        ...rest,
      )),
      askedAt: target.address,
    }),
    fabricTables: async (target, ...rest) => ({
      ...(await probes.fabricTables(
        { ...target, address: ONLY_ADDRESS, credential: credential(target.address, target.credential) },
        ...rest,
      )),
      askedAt: target.address,
    }),
    powerSupplies: async (target, ...rest) => ({
      ...(await probes.powerSupplies(
        { ...target, address: ONLY_ADDRESS, credential: credential(target.address, target.credential) },
        ...rest,
      )),
      askedAt: target.address,
    }),
  };
}

function withPort(identity: IdentitySighting, port: number): IdentitySighting {
  const { http, https, certificate, ssh } = identity;
  return {
    ...identity,
    ...(http === undefined ? {} : { http: { ...http, port } }),
    ...(https === undefined ? {} : { https: { ...https, port } }),
    ...(certificate === undefined ? {} : { certificate: { ...certificate, port } }),
    ...(ssh === undefined ? {} : { ssh: { ...ssh, port } }),
  };
}
