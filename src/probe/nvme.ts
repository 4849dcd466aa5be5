/** NVMe/TCP: the transport's own greeting, then close. No Connect command, so nothing is logged in to. */
import { decodeNvmeReply, encodeInitializeRequest } from '../wire/nvme-tcp.js';
import type { ServiceProbe } from './service-probe.js';
import { askService, unknown, type Verdict } from './service-question.js';

export const proveNvme: ServiceProbe = (target, patience, signal) =>
  askService(target, { ask: encodeInitializeRequest(), judge }, patience, signal);

function judge(answer: Uint8Array): Verdict | undefined {
  const reply = decodeNvmeReply(answer);
  if (!reply.ok) return unknown(answer);
  if (reply.value === undefined) return undefined;
  return {
    outcome: 'proven',
    detail:
      reply.value.kind === 'initialized'
        ? `NVMe/TCP, format version ${reply.value.formatVersion}`
        : `NVMe/TCP, connection ended by the controller, status ${reply.value.status}`,
  };
}
