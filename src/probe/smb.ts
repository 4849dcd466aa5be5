/** SMB: NEGOTIATE, read the dialect, close. A session is never set up. */
import { randomBytes } from 'node:crypto';
import { decodeSmbReply, encodeSmbNegotiate } from '../wire/smb.js';
import type { ServiceProbe } from './service-probe.js';
import { askService, unknown, type Verdict } from './service-question.js';

export const proveSmb: ServiceProbe = (target, patience, signal) =>
  askService(target, { ask: encodeSmbNegotiate(randomBytes(16)), judge }, patience, signal);

function judge(answer: Uint8Array): Verdict | undefined {
  const reply = decodeSmbReply(answer);
  if (!reply.ok) return unknown(answer);
  if (reply.value === undefined) return undefined;
  const { status, dialect } = reply.value;
  const detail = dialect === undefined ? `SMB2, status 0x${status.toString(16)}` : `SMB ${dialect}`;
  return { outcome: 'proven', detail };
}
