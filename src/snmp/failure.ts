/** Why an SNMP request brought no values. */
import { ErrorStatus, RequestFailedError, ResponseInvalidCode, ResponseInvalidError } from 'net-snmp';
import { errorCode, type Refusal, refusalOf } from '../probe/refusal.js';

export type SnmpFailure =
  | { readonly kind: 'no-reply'; readonly detail?: string | undefined }
  /** The agent answered and would not have us: unknown user, wrong key, no access. */
  | { readonly kind: 'rejected'; readonly detail: string }
  /** An error-status of the answer (RFC 3416 §3). */
  | { readonly kind: 'error-status'; readonly status: number; readonly detail: string }
  | { readonly kind: 'malformed'; readonly detail: string }
  | { readonly kind: 'socket'; readonly refusal: Refusal }
  | { readonly kind: 'interrupted' };

/** Reports of the User-based model, as net-snmp words them (RFC 3414 §3.2 steps 3 to 7). */
const USM_REPORTS: readonly (readonly [RegExp, string])[] = [
  [/unsupported ?sec/i, 'the agent does not offer that security level'],
  [/time ?window/i, 'the agent and this laptop disagree about time'],
  [/user ?name/i, 'the agent does not know the user'],
  [/engine ?id/i, 'the agent did not accept its own engine id'],
  [/digest/i, 'the agent says the authentication key is wrong'],
  [/decrypt/i, 'the privacy key is wrong'],
];

/** Net-snmp's messages may quote a community, so none is passed on; only what is known is put into our own words. */
export function failureOf(error: unknown): SnmpFailure {
  // net-snmp exports this class, its types only the shape.
  if (error instanceof Error && error.name === 'RequestTimedOutError') return { kind: 'no-reply' };
  if (error instanceof RequestFailedError) return statusFailure(error.status);
  if (error instanceof ResponseInvalidError) return invalidFailure(error.code, error.message);
  const code = errorCode(error);
  if (code.startsWith('ERR_')) return { kind: 'malformed', detail: 'the answer could not be used' };
  return code === '' ? { kind: 'interrupted' } : { kind: 'socket', refusal: refusalOf(error) };
}

function statusFailure(status: number): SnmpFailure {
  if (status === ErrorStatus.AuthorizationError || status === ErrorStatus.NoAccess) {
    return { kind: 'rejected', detail: 'the agent answers, but gives no access' };
  }
  const name = ErrorStatus[status];
  return { kind: 'error-status', status, detail: name === undefined ? `error status ${status}` : name };
}

function invalidFailure(code: number, message: string): SnmpFailure {
  if (code === ResponseInvalidCode.EAuthFailure) {
    const known = USM_REPORTS.find(([pattern]) => pattern.test(message));
    return { kind: 'rejected', detail: known?.[1] ?? 'the agent does not accept the user or its key' };
  }
  if (code === ResponseInvalidCode.ECouldNotDecrypt) {
    return { kind: 'rejected', detail: 'the answer could not be decrypted: the privacy key is wrong' };
  }
  if (code === ResponseInvalidCode.EOutOfOrder) {
    return { kind: 'malformed', detail: 'the agent returned object identifiers out of order' };
  }
  return { kind: 'malformed', detail: 'the answer does not fit the question' };
}
