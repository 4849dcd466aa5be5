/**
 * A small iSCSI target that says what a test tells it to, on loopback or at any address of the lab. It builds its PDUs by itself,
 * after the tables of RFC 7143 §11, and shares no code with ours.
 */
import { createServer, type Server, type Socket } from 'node:net';

export interface Received {
  readonly opcode: number;
  readonly flags: number;
  readonly taskTag: number;
  readonly transferTag: number;
  readonly header: Buffer;
  readonly text: string;
}

/** What the target does when a PDU came. Bytes are sent; `close` ends the connection after them; nothing = silence. */
export type Answer = Buffer | 'close' | undefined | readonly (Buffer | 'close')[];

export interface ScriptedTarget {
  readonly port: number;
  /** PDUs of all connections, in order. */
  readonly received: readonly Received[];
  readonly openSockets: () => number;
  /** Connections taken so far. */
  readonly connections: () => number;
  close(): Promise<void>;
}

export interface Script {
  readonly address?: string;
  readonly port?: number;
  /** Said before anything came. */
  readonly greeting?: Buffer;
  readonly answer: (pdu: Received, index: number) => Answer;
  /** Where set, this answers raw bytes instead, and no PDUs are cut. */
  readonly raw?: (bytes: Buffer) => Answer;
}

export async function startScriptedTarget(script: Script): Promise<ScriptedTarget> {
  const received: Received[] = [];
  const sockets = new Set<Socket>();
  let taken = 0;
  const server: Server = createServer((socket) => {
    sockets.add(socket);
    taken += 1;
    socket.on('close', () => sockets.delete(socket));
    socket.on('error', () => {});
    let waiting = Buffer.alloc(0);
    let index = 0;
    const give = (answer: Answer) => {
      for (const part of Array.isArray(answer) ? answer : [answer]) {
        if (part === 'close') socket.end();
        else if (part !== undefined) socket.write(part);
      }
    };
    if (script.greeting !== undefined) socket.write(script.greeting);
    socket.on('data', (chunk) => {
      if (script.raw !== undefined) {
        give(script.raw(chunk));
        return;
      }
      waiting = Buffer.concat([waiting, chunk]);
      while (waiting.length >= 48) {
        const length = waiting.readUInt32BE(4) & 0xffffff;
        const size = 48 + Math.ceil(length / 4) * 4;
        if (waiting.length < size) return;
        const header = waiting.subarray(0, 48);
        const pdu = {
          opcode: header.readUInt8(0) & 0x3f,
          flags: header.readUInt8(1),
          taskTag: header.readUInt32BE(16),
          transferTag: header.readUInt32BE(20),
          header,
          text: waiting.subarray(48, 48 + length).toString('utf8'),
        };
        waiting = waiting.subarray(size);
        received.push(pdu);
        give(script.answer(pdu, index));
        index += 1;
      }
    });
  });
  await new Promise<void>((resolve) => {
    server.listen(script.port ?? 0, script.address ?? '127.0.0.1', resolve);
  });
  const bound = server.address();
  return {
    port: typeof bound === 'object' && bound !== null ? bound.port : 0,
    received,
    openSockets: () => sockets.size,
    connections: () => taken,
    close: () =>
      new Promise((resolve) => {
        for (const socket of sockets) socket.destroy();
        server.close(() => resolve());
      }),
  };
}

export interface Response {
  readonly opcode: number;
  readonly flags: number;
  readonly taskTag: number;
  readonly transferTag?: number;
  readonly status?: number;
  readonly sessionHandle?: number;
  readonly statusNumber?: number;
}

export function response(fields: Response, text = ''): Buffer {
  const data = Buffer.from(text, 'utf8');
  const pdu = Buffer.alloc(48 + Math.ceil(data.length / 4) * 4);
  pdu.writeUInt8(fields.opcode, 0);
  pdu.writeUInt8(fields.flags, 1);
  pdu.writeUIntBE(data.length, 5, 3);
  pdu.writeUInt16BE(fields.sessionHandle ?? 0, 14);
  pdu.writeUInt32BE(fields.taskTag, 16);
  pdu.writeUInt32BE(fields.transferTag ?? 0, 20);
  pdu.writeUInt32BE(fields.statusNumber ?? 1, 24);
  pdu.writeUInt16BE(fields.status ?? 0, 36);
  data.copy(pdu, 48);
  return pdu;
}

export const login = (pdu: Received, fields: Partial<Response> = {}, text = '') =>
  response(
    { opcode: 0x23, flags: pdu.flags & 0x8f, taskTag: pdu.taskTag, sessionHandle: 1, ...fields },
    text,
  );

export const textAnswer = (pdu: Received, text: string, fields: Partial<Response> = {}) =>
  response({ opcode: 0x24, flags: 0x80, taskTag: pdu.taskTag, transferTag: 0xffffffff, ...fields }, text);

/** A target without fault that gives this list, in parts of at most `partSize` octets. */
export function listing(list: string, partSize = 8192): Script['answer'] {
  let sent = 0;
  return (pdu) => {
    if (pdu.opcode === 0x03) {
      const security = (pdu.flags & 0x0c) === 0;
      return login(
        pdu,
        {},
        security ? 'TargetPortalGroupTag=1\0AuthMethod=None\0' : 'HeaderDigest=None\0DataDigest=None\0',
      );
    }
    if (pdu.opcode === 0x04) {
      if (pdu.transferTag === 0xffffffff) sent = 0;
      const part = list.slice(sent, sent + partSize);
      sent += part.length;
      // RFC 7143 §11.11.1: more to come = F 0, C 1 and a tag that is not the reserved one.
      return sent >= list.length
        ? textAnswer(pdu, part)
        : textAnswer(pdu, part, { flags: 0x40, transferTag: 0x12345678 });
    }
    if (pdu.opcode === 0x06) return [response({ opcode: 0x26, flags: 0x80, taskTag: pdu.taskTag }), 'close'];
    return undefined;
  };
}

/** The worked answers of RFC 7143 appendix C. */
const DISK = 'TargetName=iqn.1993-11.com.example:diskarray.sn.8675309\0';
const OTHER = 'TargetName=iqn.1993-11.com.example:diskarray.sn.1234567\0';
const BOTH_WAYS = 'TargetAddress=10.1.0.45:3000,1\0TargetAddress=10.1.1.45:3000,2\0';
export const WORKED_ANSWERS = {
  a: DISK,
  b: DISK + BOTH_WAYS + OTHER + BOTH_WAYS,
  c: `${DISK}TargetAddress=10.1.0.45:3000,1\0TargetAddress=10.1.1.46:3000,1\0TargetAddress=10.1.0.47:3000,2\0TargetAddress=10.1.1.48:3000,2\0TargetAddress=10.1.1.49:3000,3\0`,
} as const;
