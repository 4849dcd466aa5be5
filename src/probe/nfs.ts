/** NFS and the port mapper: the RPC NULL call (RFC 5531 §12.1 "by convention, procedure zero ... does nothing"), no mount, no credential. */
import { concat } from '../wire/bytes.js';
import { encodeNullCall, RPC_PROGRAM, type RpcReply, takeRpcReply } from '../wire/rpc.js';
import type { ServiceProbe } from './service-probe.js';
import { askService, unknown, type Verdict } from './service-question.js';

interface RpcService {
  readonly name: string;
  readonly program: number;
  readonly versions: readonly number[];
}

/** NFS 3 (RFC 1813) and 4 (RFC 7530); port mapper 2 to 4 (RFC 1833). */
const NFS: RpcService = { name: 'NFS', program: RPC_PROGRAM.nfs, versions: [3, 4] };
const PORT_MAPPER: RpcService = { name: 'port mapper', program: RPC_PROGRAM.portmapper, versions: [2, 3, 4] };

export const proveNfs = rpcProbe(NFS);
export const proveSunrpc = rpcProbe(PORT_MAPPER);

/** One call for each version on one connection, told apart by their transaction ids. */
function rpcProbe(service: RpcService): ServiceProbe {
  return (target, patience, signal) => {
    const base = Math.floor(Math.random() * 0x7fff0000);
    const ask = concat(
      service.versions.map((version) => encodeNullCall(base + version, service.program, version)),
    );
    const judge = (answer: Uint8Array, last: boolean) => judgeReplies(answer, last, service, base);
    return askService(target, { ask, judge }, patience, signal);
  };
}

function judgeReplies(
  answer: Uint8Array,
  last: boolean,
  service: RpcService,
  base: number,
): Verdict | undefined {
  const replies = new Map<number, RpcReply>();
  let at = 0;
  while (at < answer.length) {
    const taken = takeRpcReply(answer.subarray(at));
    if (!taken.ok) return replies.size === 0 ? unknown(answer) : conclusion(replies, service);
    if (taken.value === undefined) break;
    const version = taken.value.reply.xid - base;
    if (service.versions.includes(version)) replies.set(version, taken.value.reply);
    at += taken.value.size;
  }
  if (replies.size < service.versions.length && !last) return undefined;
  return replies.size === 0 ? undefined : conclusion(replies, service);
}

function conclusion(replies: ReadonlyMap<number, RpcReply>, { name }: RpcService): Verdict {
  const working = [...replies].filter(([, reply]) => reply.status === 'success').map(([version]) => version);
  if (working.length > 0)
    return { outcome: 'proven', detail: `${name} version ${working.sort().join(', ')}` };
  const all = [...replies.values()];
  const offered = all.find((reply) => reply.versions !== undefined)?.versions;
  if (offered !== undefined) {
    return { outcome: 'proven', detail: `${name}, but versions ${offered.low} to ${offered.high} only` };
  }
  const status = all[0]?.status.replaceAll('-', ' ') ?? 'no status';
  if (all.every((reply) => reply.status === 'program-unavailable')) {
    return { outcome: 'other-protocol', detail: `RPC answers, but has no ${name} program` };
  }
  return { outcome: 'proven', detail: `${name} answers the NULL call with: ${status}` };
}
