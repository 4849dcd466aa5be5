/** A read-only SNMP session over net-snmp: promises for callbacks, values for errors, nothing thrown out of a socket event. */
import {
  AuthProtocols,
  createSession,
  PrivProtocols,
  SecurityLevel,
  Session,
  type User,
  type Varbind,
  Version1,
  Version2c,
} from 'net-snmp';
import { withoutZone } from '../plan/address.js';
import type { Patience, ResolvedSnmp } from '../probe/types.js';
import {
  failureOf,
  INTERRUPTED_FAILURE,
  SILENT_FAILURE,
  type SnmpFailure,
  socketFailure,
  UNUSABLE_FAILURE,
} from './failure.js';

export type SnmpResult =
  | { readonly ok: true; readonly varbinds: readonly Varbind[] }
  | { readonly ok: false; readonly failure: SnmpFailure };

export type SnmpRows =
  | { readonly ok: true; readonly columns: readonly (readonly Varbind[])[] }
  | { readonly ok: false; readonly failure: SnmpFailure };

export interface SnmpSession {
  readonly version: '1' | '2c' | '3';
  get(oids: readonly string[]): Promise<SnmpResult>;
  getNext(oid: string): Promise<SnmpResult>;
  /**
   * What follows each of these, up to `repetitions` rows of each: a list for each, in the order asked. On version 1 one row of the first,
   * by getNext.
   */
  getBulk(oids: readonly string[], repetitions: number): Promise<SnmpRows>;
  /** Resolves when the next request of a walk may leave; absent where nobody holds it back. */
  readonly ready?: (() => Promise<void>) | undefined;
  close(): void;
}

/** Above all retries net-snmp does itself, in milliseconds: a request it lost track of still ends. */
const BACKSTOP_MS = 250;

/** `address` is used as it is; the session ends all that is pending when `signal` aborts. The caller closes it. */
export function openSession(
  address: string,
  credential: ResolvedSnmp,
  patience: Patience,
  signal: AbortSignal,
): SnmpSession | { readonly unusable: string } {
  const raw = create(address, credential, patience);
  if ('unusable' in raw) return raw;
  const pending = new Set<(result: SnmpResult) => void>();
  const fail = (failure: SnmpFailure) => {
    for (const settle of [...pending]) settle({ ok: false, failure });
  };
  let instead: SnmpFailure | undefined;
  raw.on('error', () => {
    instead = NOT_SNMP;
  });
  guardSocket(raw, address, fail, (source) => {
    instead ??= { kind: 'no-reply', cause: 'wrong-source', detail: `an answer came from ${source} instead` };
  });
  let closed = false;
  const close = () => {
    if (closed) return;
    closed = true;
    signal.removeEventListener('abort', close);
    fail(INTERRUPTED_FAILURE);
    raw.close();
  };
  signal.addEventListener('abort', close, { once: true });
  const budgetMs = patience.timeoutMs * Math.max(1, patience.attempts) * 3 + BACKSTOP_MS;

  const ask = (send: (callback: Callback) => void): Promise<SnmpResult> => {
    if (closed || signal.aborted) return Promise.resolve({ ok: false, failure: INTERRUPTED_FAILURE });
    return new Promise((resolve) => {
      const settle = (result: SnmpResult) => {
        if (!pending.delete(settle)) return;
        clearTimeout(backstop);
        resolve(result);
      };
      const backstop = setTimeout(() => settle({ ok: false, failure: told(SILENT_FAILURE) }), budgetMs);
      pending.add(settle);
      const callback: Callback = (error, varbinds) =>
        settle(
          error ? { ok: false, failure: told(failureOf(error)) } : { ok: true, varbinds: varbinds ?? [] },
        );
      try {
        send(callback);
      } catch (error) {
        callback(error instanceof Error ? error : new Error('send failed'));
      }
    });
  };
  const told = (failure: SnmpFailure): SnmpFailure =>
    failure.kind === 'no-reply' ? (instead ?? failure) : failure;

  const getNext = (oid: string) => ask((callback) => raw.getNext([oid], callback));
  return {
    version: credential.version,
    ready: patience.mayAsk,
    get: (oids) => ask((callback) => raw.get([...oids], callback)),
    getNext,
    getBulk: async (oids, repetitions) => {
      let columns: readonly (readonly Varbind[])[] = [];
      const result =
        credential.version === '1'
          ? await getNext(oids[0] ?? '')
          : await ask((callback) =>
              raw.getBulk([...oids], 0, repetitions, (error, rows) => {
                // Without objects that are asked for once, net-snmp gives a list for each.
                columns = (rows ?? []).map((row) => [row].flat());
                callback(error, columns.flat());
              }),
            );
      if (!result.ok) return result;
      return { ok: true, columns: credential.version === '1' ? [result.varbinds] : columns };
    },
    close,
  };
}

type Callback = (error: Error | null, varbinds?: Varbind[]) => void;

const NOT_SNMP: SnmpFailure = {
  kind: 'no-reply',
  cause: 'other-protocol',
  detail: 'something answered, but not in SNMP',
};

/**
 * net-snmp decodes inside the socket's event; what a broken answer makes it throw would end the program. It also takes an answer from
 * anybody who knows the request's number; only the address that was asked may speak for itself, from whatever port of it.
 */
function guardSocket(
  session: Session,
  address: string,
  fail: (failure: SnmpFailure) => void,
  onStranger: (source: string) => void,
): void {
  const socket = (session as unknown as { readonly dgram: NodeJS.EventEmitter }).dgram;
  const listeners = socket.rawListeners('message');
  const asked = withoutZone(address);
  socket.removeAllListeners('message');
  socket.on('message', (bytes: unknown, from: { readonly address: string }) => {
    const source = withoutZone(from.address);
    if (source !== asked) {
      onStranger(source);
      return;
    }
    for (const listener of listeners) {
      try {
        Reflect.apply(listener, socket, [bytes, from]);
      } catch {
        fail(UNUSABLE_FAILURE);
      }
    }
  });
  socket.on('error', (error: unknown) => fail(socketFailure(error)));
}

function create(
  address: string,
  credential: ResolvedSnmp,
  patience: Patience,
): Session | { readonly unusable: string } {
  const options = {
    port: credential.port,
    transport: address.includes(':') ? ('udp6' as const) : ('udp4' as const),
    timeout: patience.timeoutMs,
    retries: Math.max(1, patience.attempts) - 1,
    backoff: 1,
  };
  if (credential.version === '3') {
    const user = userOf(credential);
    return 'unusable' in user ? user : new Session(address, user, { ...options, version: 3 });
  }
  if (credential.community === undefined) return { unusable: 'the credential has no community' };
  const version = credential.version === '1' ? Version1 : Version2c;
  return createSession(address, credential.community.reveal(), { ...options, version });
}

const AUTH: Readonly<Record<string, AuthProtocols>> = {
  md5: AuthProtocols.md5,
  sha: AuthProtocols.sha,
  sha224: AuthProtocols.sha224,
  sha256: AuthProtocols.sha256,
  sha384: AuthProtocols.sha384,
  sha512: AuthProtocols.sha512,
};

const PRIV: Readonly<Record<string, PrivProtocols>> = {
  des: PrivProtocols.des,
  aes: PrivProtocols.aes,
  aes256b: PrivProtocols.aes256b,
  aes256r: PrivProtocols.aes256r,
};

function userOf(credential: ResolvedSnmp): User | { readonly unusable: string } {
  const name = credential.user;
  if (name === undefined || name === '') return { unusable: 'the credential has no user' };
  const level = credential.level ?? levelFrom(credential);
  if (level === 'noAuthNoPriv') return { name, level: SecurityLevel.noAuthNoPriv };
  const authProtocol = AUTH[credential.auth ?? 'sha'];
  const authKey = credential.authKey?.reveal();
  if (authProtocol === undefined || authKey === undefined) {
    return { unusable: 'the credential has no usable authentication key' };
  }
  const auth = { name, authProtocol, authKey };
  if (level === 'authNoPriv') return { ...auth, level: SecurityLevel.authNoPriv };
  const privProtocol = PRIV[credential.priv ?? 'aes'];
  const privKey = credential.privKey?.reveal();
  if (privProtocol === undefined || privKey === undefined) {
    return { unusable: 'the credential has no usable privacy key' };
  }
  return { ...auth, privProtocol, privKey, level: SecurityLevel.authPriv };
}

function levelFrom(credential: ResolvedSnmp): 'noAuthNoPriv' | 'authNoPriv' | 'authPriv' {
  if (credential.privKey !== undefined) return 'authPriv';
  return credential.authKey === undefined ? 'noAuthNoPriv' : 'authNoPriv';
}
