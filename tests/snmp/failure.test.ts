import { createSocket } from 'node:dgram';
import { ErrorStatus, RequestFailedError, ResponseInvalidCode, ResponseInvalidError } from 'net-snmp';
import { afterEach, describe, expect, it } from 'vitest';
import { failureOf } from '../../src/snmp/failure.js';
import { report } from './report.js';
import { open } from './support.js';

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
    [new RequestFailedError('', ErrorStatus.AuthorizationError), 'rejected', 'no-access'],
    [new RequestFailedError('', ErrorStatus.NoAccess), 'rejected', 'no-access'],
    [new RequestFailedError('', ErrorStatus.TooBig), 'error-status', 'no-access'],
    [new RequestFailedError('', ErrorStatus.GeneralError), 'error-status', 'device-trouble'],
    [new ResponseInvalidError('', ResponseInvalidCode.ECouldNotDecrypt), 'rejected', 'credential-rejected'],
    [new ResponseInvalidError('', ResponseInvalidCode.EReqResOidNoMatch), 'malformed', 'malformed'],
    [new ResponseInvalidError('', ResponseInvalidCode.EOutOfOrder), 'malformed', 'malformed'],
    [Object.assign(new Error('x'), { name: 'RequestTimedOutError' }), 'no-reply', 'timeout'],
    [Object.assign(new Error('x'), { code: 'EHOSTUNREACH' }), 'socket', 'host-unreachable'],
    [new Error('x'), 'malformed', 'malformed'],
  ])('%s', (error, kind, cause) => {
    expect(failureOf(error)).toMatchObject({ kind, cause });
  });
});

/** An SNMPv3 engine that answers everything with one report: after the one that tells its engine id, that of `counter`. */
async function reporter(counter: number) {
  const socket = createSocket('udp4');
  let questions = 0;
  socket.on('message', (question, from) => {
    questions += 1;
    // usmStatsUnknownEngineIDs is the answer to a first question (RFC 3414 §4); `counter` is what the test is about.
    socket.send(report(question, questions === 1 ? 4 : counter), from.port, from.address);
  });
  await new Promise<void>((resolve) => socket.bind(0, '127.0.0.1', resolve));
  closers.push(() => new Promise((resolve) => socket.close(() => resolve())));
  return socket.address().port;
}

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

/**
 * Numbers and order of the counters: RFC 3414 §5, usmStats (1.3.6.1.6.3.15.1.1). What they mean for the user: §3.2 steps 3, 4, 5, 6, 7
 * and 8. The words net-snmp makes of them are its own; a version that words them differently fails here.
 */
it.each([
  [1, 'credential-rejected', 'the agent does not offer that security level'],
  [2, 'time-window', 'the agent and this laptop disagree about time'],
  [3, 'credential-rejected', 'the agent does not know the user'],
  [4, 'credential-rejected', 'the agent did not accept its own engine id'],
  [5, 'credential-rejected', 'the agent says the authentication key is wrong'],
  [6, 'credential-rejected', 'the privacy key is wrong'],
  // Not one of the six.
  [9, 'credential-rejected', 'the agent does not accept the user or its key'],
])('report %i of the User-based model is %s', async (counter, cause, detail) => {
  const port = await reporter(counter);
  const session = open({ name: 'site-v3', version: '3', port, user: 'watcher' });
  const result = await session.get(['1.3.6.1.2.1.1.5.0']);
  session.close();
  expect(result).toEqual({ ok: false, failure: { kind: 'rejected', cause, detail } });
});
