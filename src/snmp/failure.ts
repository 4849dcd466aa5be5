/** Why an SNMP request brought no values. */
import { ErrorStatus, RequestFailedError, ResponseInvalidCode, ResponseInvalidError } from 'net-snmp';
import { errorCode, type Refusal, refusalOf } from '../probe/refusal.js';
import type { Cause } from '../sighting/types.js';

export type SnmpFailure =
  | { readonly kind: 'no-reply'; readonly cause: Cause; readonly detail?: string | undefined }
  /** The agent answered and would not have us: unknown user, wrong key, no access. */
  | { readonly kind: 'rejected'; readonly cause: Cause; readonly detail: string }
  /** An error-status of the answer (RFC 3416 §3). */
  | { readonly kind: 'error-status'; readonly cause: Cause; readonly status: number; readonly detail: string }
  | { readonly kind: 'malformed'; readonly cause: Cause; readonly detail: string }
  | { readonly kind: 'socket'; readonly cause: Cause; readonly refusal: Refusal }
  | { readonly kind: 'interrupted'; readonly cause: Cause };

export const INTERRUPTED_FAILURE: SnmpFailure = { kind: 'interrupted', cause: 'interrupted' };
export const SILENT_FAILURE: SnmpFailure = { kind: 'no-reply', cause: 'timeout' };
export const UNUSABLE_FAILURE: SnmpFailure = {
  kind: 'malformed',
  cause: 'malformed',
  detail: 'the answer could not be used',
};

type Why = { readonly cause: Cause; readonly detail: string };

/**
 * Reports of the User-based model (RFC 3414 §3.2 steps 3 to 7). net-snmp tells them all by one code and its own names of the counters, so
 * these names, exactly as the installed version has them, are all there is to go by; tests/snmp/failure.test.ts makes an agent send each.
 */
const USM_REPORTS: ReadonlyMap<string, Why> = new Map([
  [
    'Unsupported Security Level',
    { cause: 'credential-rejected', detail: 'the agent does not offer that security level' },
  ],
  ['Not In Time Window', { cause: 'time-window', detail: 'the agent and this laptop disagree about time' }],
  ['Unknown User Name', { cause: 'credential-rejected', detail: 'the agent does not know the user' }],
  [
    'Unknown Engine ID',
    { cause: 'credential-rejected', detail: 'the agent did not accept its own engine id' },
  ],
  [
    'Wrong Digest (incorrect password, community or key)',
    { cause: 'credential-rejected', detail: 'the agent says the authentication key is wrong' },
  ],
  ['Decryption Error', { cause: 'credential-rejected', detail: 'the privacy key is wrong' }],
]);

/** Net-snmp's messages may quote a community, so none is passed on; only what is known is put into our own words. */
export function failureOf(error: unknown): SnmpFailure {
  // net-snmp exports this class, its types only the shape.
  if (error instanceof Error && error.name === 'RequestTimedOutError') return SILENT_FAILURE;
  if (error instanceof RequestFailedError) return statusFailure(error.status);
  if (error instanceof ResponseInvalidError) return invalidFailure(error.code, error.message);
  const code = errorCode(error);
  return code === '' || code.startsWith('ERR_') ? UNUSABLE_FAILURE : socketFailure(error);
}

export function socketFailure(error: unknown): SnmpFailure {
  const refusal = refusalOf(error);
  return { kind: 'socket', cause: refusal.cause, refusal };
}

function statusFailure(status: number): SnmpFailure {
  if (status === ErrorStatus.AuthorizationError || status === ErrorStatus.NoAccess) {
    return { kind: 'rejected', cause: 'no-access', detail: 'the agent answers, but gives no access' };
  }
  const name = ErrorStatus[status];
  const detail = name === undefined ? `error status ${status}` : name;
  const cause = status === ErrorStatus.GeneralError ? 'device-trouble' : 'no-access';
  return { kind: 'error-status', cause, status, detail };
}

function invalidFailure(code: number, message: string): SnmpFailure {
  switch (code) {
    case ResponseInvalidCode.EAuthFailure: {
      const why = USM_REPORTS.get(message) ?? {
        cause: 'credential-rejected',
        detail: 'the agent does not accept the user or its key',
      };
      return { kind: 'rejected', ...why };
    }
    case ResponseInvalidCode.ECouldNotDecrypt:
      return {
        kind: 'rejected',
        cause: 'credential-rejected',
        detail: 'the answer could not be decrypted: the privacy key is wrong',
      };
    // Our own check of an authentic answer, where the agent was restarted or repeats old messages (RFC 3414 §3.2 step 7b).
    case NOT_IN_TIME_WINDOW:
      return {
        kind: 'rejected',
        cause: 'time-window',
        detail: 'the agent and this laptop disagree about time',
      };
    case ResponseInvalidCode.EOutOfOrder:
      return {
        kind: 'malformed',
        cause: 'malformed',
        detail: 'the agent returned object identifiers out of order',
      };
    default:
      return { kind: 'malformed', cause: 'malformed', detail: 'the answer does not fit the question' };
  }
}

/** ENotInTimeWindow of net-snmp 3.29; its types do not have it yet. */
const NOT_IN_TIME_WINDOW = 14;
