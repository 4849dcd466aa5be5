import { ErrorStatus, RequestFailedError, ResponseInvalidCode, ResponseInvalidError } from 'net-snmp';
import { describe, expect, it } from 'vitest';
import { failureOf } from '../../src/snmp/failure.js';

const SECRET = 'loft-read';

describe('failureOf', () => {
  it('passes no message on: some of net-snmp quote the community', () => {
    const errors = [
      new ResponseInvalidError(
        `Community '${SECRET}' in request does not match community 'x' in response`,
        ResponseInvalidCode.ECommunityNoMatch,
      ),
      new RequestFailedError(`NoSuchName: ${SECRET}`, ErrorStatus.NoSuchName),
      Object.assign(new Error(SECRET), { code: 'ECONNREFUSED' }),
      Object.assign(new Error(SECRET), { code: 'ERR_INVALID_ARG_TYPE' }),
      new Error(SECRET),
      SECRET,
    ];
    for (const error of errors) expect(JSON.stringify(failureOf(error))).not.toContain(SECRET);
  });

  it.each([
    // RFC 3416 §3: authorizationError(16) and noAccess(6) are about rights, the others about the object.
    [new RequestFailedError('', ErrorStatus.AuthorizationError), 'rejected'],
    [new RequestFailedError('', ErrorStatus.NoAccess), 'rejected'],
    [new RequestFailedError('', ErrorStatus.TooBig), 'error-status'],
    [new RequestFailedError('', ErrorStatus.GeneralError), 'error-status'],
    // RFC 3414 §3.2.
    [new ResponseInvalidError('Unknown User Name', ResponseInvalidCode.EAuthFailure), 'rejected'],
    [new ResponseInvalidError('', ResponseInvalidCode.ECouldNotDecrypt), 'rejected'],
    [new ResponseInvalidError('', ResponseInvalidCode.EReqResOidNoMatch), 'malformed'],
    [Object.assign(new Error('x'), { name: 'RequestTimedOutError' }), 'no-reply'],
    [Object.assign(new Error('x'), { code: 'EHOSTUNREACH' }), 'socket'],
  ])('%s', (error, kind) => {
    expect(failureOf(error).kind).toBe(kind);
  });
});
