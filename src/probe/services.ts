/** Which proof a planned service gets. A name without a proof of its own gets a TCP connect, and the result says so. */
import type { PlannedService } from '../plan/model.js';
import { isBarePort } from '../plan/services.js';
import type { ServiceProof } from '../sighting/types.js';
import { proveHttp, proveHttps } from './http.js';
import { proveIscsi } from './iscsi.js';
import { proveNfs, proveSunrpc } from './nfs.js';
import { proveNvme } from './nvme.js';
import { overConnection } from './over-connection.js';
import { answered, notAsked, type ServiceProbe } from './service-probe.js';
import { proveSmb } from './smb.js';
import { proveSsh } from './ssh.js';
import { closeAtOnce } from './tcp-dial.js';

/**
 * By IANA name. NETCONF over SSH opens with the same identification line (RFC 6242 §3, RFC 4253 §4.2). SNMP
 * stands apart: what proves it depends on the credential of the plan (src/snmp/agent.ts).
 */
const PROOFS: ReadonlyMap<string, ServiceProbe> = new Map([
  ['http', proveHttp],
  ['https', proveHttps],
  ['ssh', proveSsh],
  ['netconf-ssh', proveSsh],
  ['nfs', proveNfs],
  ['sunrpc', proveSunrpc],
  ['microsoft-ds', proveSmb],
  ['nvme', proveNvme],
  ['nvme-disc', proveNvme],
  ['iscsi', proveIscsi],
  ['iscsi-target', proveIscsi],
]);

export function proofFor(service: PlannedService): ServiceProbe {
  return PROOFS.get(service.name) ?? (service.protocol === 'tcp' ? proveConnect : notProvable);
}

export const proveService: ServiceProbe = (target, patience, signal) =>
  proofFor(target.service)(target, patience, signal);

const proveConnect: ServiceProbe = (target, patience, signal) =>
  overConnection(target, patience, signal, async (socket) => {
    closeAtOnce(socket);
    return { proof: provenByConnection(target.service) };
  });

/** Of a service whose port accepted a connection, and that nothing more is asked of. */
export function provenByConnection(service: PlannedService): ServiceProof {
  const detail = isBarePort(service)
    ? 'accepts connections'
    : 'accepts connections; its protocol was not asked';
  return answered(service, 'proven', detail);
}

const notProvable: ServiceProbe = async ({ service }) => ({
  proof: notAsked(service, {
    cause: 'not-supported',
    reason: `UDP gives no sign of life without its protocol, and ${service.name} is not spoken here`,
  }),
});
