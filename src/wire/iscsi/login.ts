/** What a login response means (RFC 7143 §6.3, §11.13). */
import type { Cause, IscsiSighting } from '../../sighting/types.js';
import { cleanText } from '../../text/clean.js';
import { concat } from '../bytes.js';
import { decodeKeys, type KeyValue, keyValue } from './keys.js';
import { CONTINUE, FINAL, loginStatus, OPCODE, type Pdu } from './pdu.js';

export type LoginStep =
  /** The session cannot go on; this is what was learned. */
  | { readonly kind: 'ended'; readonly result: IscsiSighting }
  /** The text goes on in the next response. */
  | { readonly kind: 'more' }
  /** The target has more to say in this stage. */
  | { readonly kind: 'stay'; readonly pairs: readonly KeyValue[] }
  /** The target agreed to go on to a stage. */
  | { readonly kind: 'go'; readonly stage: 'operational' | 'full'; readonly pairs: readonly KeyValue[] };

/** Login text is at most this long, over all continued responses (§6.1 asks for 8192 octets a pair at least). */
const LOGIN_TEXT_LIMIT = 64 * 1024;

export function readLogin(pdu: Pdu, before: readonly Uint8Array[], tooManyRounds: boolean): LoginStep {
  if (pdu.opcode !== OPCODE.loginResponse) {
    return ended(garbage(`an answer of kind 0x${pdu.opcode.toString(16)} to a login`));
  }
  const bytes = concat([...before, pdu.data]);
  const status = loginStatus(pdu);
  const pairs = decodeKeys(bytes);
  if (status !== '0000') return ended(refused(status, pairs.ok ? pairs.value : []));
  const stage = (pdu.flags & 0x0c) >> 2;
  if (tooManyRounds) {
    return ended(
      stage === 0
        ? {
            outcome: 'authentication-required',
            cause: 'no-access',
            detail: 'the login does not leave the security stage',
          }
        : garbage('the login does not come to an end', 'too-much'),
    );
  }
  if (bytes.length > LOGIN_TEXT_LIMIT) return ended(garbage('a login text without end', 'too-much'));
  if ((pdu.flags & CONTINUE) !== 0) return { kind: 'more' };
  if (!pairs.ok) return ended(garbage(pairs.detail));
  const method = keyValue(pairs.value, 'AuthMethod');
  // A target may also name its method in a list of its own (§12.1); None must be chosen, alone.
  if (method !== undefined && method !== 'None') {
    return ended({
      outcome: 'authentication-required',
      cause: 'no-access',
      detail: `the target answers AuthMethod=${cleanText(method, 60)}`,
    });
  }
  if ((pdu.flags & FINAL) === 0) return { kind: 'stay', pairs: pairs.value };
  const next = pdu.flags & 0x03;
  if (next !== 1 && next !== 3) return ended(garbage(`the login goes on to stage ${next}`));
  return { kind: 'go', stage: next === 3 ? 'full' : 'operational', pairs: pairs.value };
}

/** RFC 7143 §11.13.5. Every one of them proves that an iSCSI target listens here. */
const STATUS_TEXT: Readonly<Record<string, string>> = {
  '0101': 'target moved temporarily',
  '0102': 'target moved permanently',
  '0200': 'initiator error',
  '0201': 'authentication failure',
  '0202': 'this initiator is not allowed',
  '0203': 'target not found',
  '0204': 'target removed',
  '0205': 'unsupported version',
  '0206': 'too many connections',
  '0207': 'missing parameter',
  '0208': 'cannot be included in the session',
  '0209': 'session type not supported',
  '020a': 'session does not exist',
  '020b': 'invalid during login',
  '0300': 'target error',
  '0301': 'service unavailable',
  '0302': 'out of resources',
};

function refused(status: string, pairs: readonly KeyValue[]): IscsiSighting {
  const text = STATUS_TEXT[status] ?? 'unknown status';
  if (status.startsWith('01')) {
    const to = keyValue(pairs, 'TargetAddress');
    const detail = to === undefined ? text : `${text}: ${cleanText(to)}`;
    return { outcome: 'redirected', cause: 'redirected-away', status, detail };
  }
  if (status === '0201')
    return { outcome: 'authentication-required', cause: 'no-access', status, detail: text };
  // Class 3: the target itself has an error; class 2: what the initiator asked is refused.
  const cause = status.startsWith('03') ? 'device-trouble' : 'no-access';
  return { outcome: 'rejected', cause, status, detail: text };
}

function garbage(detail: string, cause: Cause = 'malformed'): IscsiSighting {
  return { outcome: 'garbage', cause, detail };
}

function ended(result: IscsiSighting): LoginStep {
  return { kind: 'ended', result };
}
