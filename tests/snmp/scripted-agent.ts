/**
 * A small SNMPv1/v2c agent of the tests' own, which serves any list of objects and, where told to, misbehaves. Independent of
 * net-snmp; held against `snmpwalk` in walk.test.ts.
 */
import { createSocket, type RemoteInfo } from 'node:dgram';
import { compareOids } from '../../src/snmp/oid.js';

export type Value =
  | { readonly int: number }
  | { readonly gauge: number }
  | { readonly ticks: number }
  | { readonly text: string }
  | { readonly hex: string }
  | { readonly oid: string }
  | { readonly ip: string };

export type Objects = readonly (readonly [oid: string, value: Value])[];

export interface Misbehaviour {
  /** Changes what follows `oid`: give another identifier, or undefined for silence. */
  readonly next?: (oid: string, honest: string | undefined) => string | undefined;
  /** Answers every question with these bytes. */
  readonly bytes?: Uint8Array;
  /** Drops this share of the questions: each n-th. */
  readonly dropEach?: number;
  /** Loses these questions, by their number from 1 on. */
  readonly loses?: (question: number) => boolean;
  /** Answers these questions so late, in milliseconds. */
  readonly delayMs?: (question: number) => number;
  /** Adds this to the number by which the asker knows its question (request-id, RFC 3416 §3). */
  readonly idOff?: number;
  /** Sends its answers from this address of the loopback network instead. */
  readonly from?: string;
  /** Sends each answer so many times. */
  readonly times?: number;
  /** Largest number of varbinds answered; above it tooBig(1). */
  readonly tooBigAbove?: number;
  /** Answers no more varbinds than this to a request for many rows (RFC 3416 §4.2.3 lets an agent do so). */
  readonly cutsAt?: number;
  /** Fails with genErr(5) where rows of more than one column are asked for at once. */
  readonly oneColumn?: boolean;
}

export interface Agent {
  readonly port: number;
  readonly questions: () => number;
  close(): Promise<void>;
}

const COMMUNITY = 'loft-read';

export async function scriptedAgent(objects: Objects, misbehaviour: Misbehaviour = {}): Promise<Agent> {
  const sorted = [...objects].sort(([a], [b]) => compareOids(a, b));
  const values = new Map(sorted);
  const place = new Map(sorted.map(([oid], index) => [oid, index]));
  const following = (oid: string): string | undefined => {
    const known = place.get(oid);
    if (known !== undefined) return sorted[known + 1]?.[0];
    let low = 0;
    let high = sorted.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (compareOids(sorted[middle]?.[0] ?? '', oid) > 0) high = middle;
      else low = middle + 1;
    }
    return sorted[low]?.[0];
  };
  const next = (oid: string) => (misbehaviour.next ?? ((_, honest) => honest))(oid, following(oid));
  const socket = createSocket('udp4');
  const late = new Set<NodeJS.Timeout>();
  let questions = 0;
  socket.on('message', (bytes: Uint8Array, from: RemoteInfo) => {
    questions += 1;
    if (misbehaviour.dropEach !== undefined && questions % misbehaviour.dropEach === 0) return;
    if (misbehaviour.loses?.(questions) === true) return;
    const reply = misbehaviour.bytes ?? answer(bytes, values, next, misbehaviour);
    const delayMs = misbehaviour.delayMs?.(questions) ?? 0;
    if (reply === undefined) return;
    const send = (): void => {
      for (let time = 0; time < (misbehaviour.times ?? 1); time += 1)
        (elsewhere ?? socket).send(reply, from.port, from.address);
    };
    if (delayMs === 0) send();
    else late.add(setTimeout(send, delayMs));
  });
  await new Promise<void>((resolve) => socket.bind(0, '127.0.0.1', resolve));
  const { from: other } = misbehaviour;
  const elsewhere = other === undefined ? undefined : createSocket('udp4');
  // The same port, so that nothing but the address differs.
  if (elsewhere !== undefined)
    await new Promise<void>((resolve) => elsewhere.bind(socket.address().port, other, resolve));
  return {
    port: socket.address().port,
    questions: () => questions,
    close: () => {
      for (const timer of late) clearTimeout(timer);
      elsewhere?.close();
      return new Promise((resolve) => socket.close(() => resolve()));
    },
  };
}

const GET = 0xa0;
const GET_NEXT = 0xa1;
const RESPONSE = 0xa2;
const GET_BULK = 0xa5;
const NO_SUCH_INSTANCE = [0x81, 0];
const END_OF_MIB = [0x82, 0];

function answer(
  bytes: Uint8Array,
  values: ReadonlyMap<string, Value>,
  next: (oid: string) => string | undefined,
  { tooBigAbove = 1000, idOff = 0, cutsAt = 1000, oneColumn = false }: Misbehaviour,
): Uint8Array | undefined {
  const [version, community, pdu] = fields(fields(bytes)[0]?.body ?? bytes);
  if (version === undefined || community === undefined || pdu === undefined) return undefined;
  if (Buffer.from(community.body).toString() !== COMMUNITY) return undefined;
  const [id, first, second, list] = fields(pdu.body);
  const asked = fields(list?.body ?? new Uint8Array()).map((bind) => readOid(fields(bind.body)[0]?.body));
  const v1 = number(version.body) === 0;
  const binds: number[][] = [];
  let failedAt = 0;
  const put = (oid: string, value: readonly number[]) => binds.push(tlv(0x30, [...oidBytes(oid), ...value]));
  const step = (oid: string): string | undefined => {
    const to = next(oid);
    const value = to === undefined ? undefined : values.get(to);
    if (to !== undefined && value !== undefined) put(to, encode(value));
    else put(oid, END_OF_MIB);
    return value === undefined ? undefined : to;
  };
  if (pdu.tag === GET) {
    for (const [index, oid] of asked.entries()) {
      const value = values.get(oid);
      if (value === undefined) failedAt ||= index + 1;
      put(oid, value === undefined ? NO_SUCH_INSTANCE : encode(value));
    }
  } else if (pdu.tag === GET_NEXT) {
    for (const [index, oid] of asked.entries()) if (step(oid) === undefined) failedAt ||= index + 1;
  } else if (pdu.tag === GET_BULK && number(first?.body) === 0) {
    const at = asked.map((oid) => ({ oid, over: false }));
    for (let row = 0; row < number(second?.body) && at.some(({ over }) => !over); row += 1)
      for (const column of at) {
        const to = column.over ? undefined : step(column.oid);
        if (column.over) put(column.oid, END_OF_MIB);
        else if (to === undefined) column.over = true;
        else column.oid = to;
      }
    binds.splice(cutsAt);
  } else return undefined;
  const refused = oneColumn && pdu.tag === GET_BULK && asked.length > 1;
  const head = id === undefined ? [] : idOff === 0 ? tlv(id.tag, [...id.body]) : int(number(id.body) + idOff);
  const echo = asked.map((oid) => tlv(0x30, [...oidBytes(oid), 5, 0]));
  const [status, index, out] = refused
    ? [5, 1, echo]
    : binds.length > tooBigAbove
      ? [1, 0, []]
      : v1 && failedAt > 0
        ? [2, failedAt, echo]
        : [0, 0, binds];
  const body = [...head, ...int(status), ...int(index), ...tlv(0x30, out.flat())];
  const message = [...tlv(2, [...version.body]), ...tlv(4, [...community.body]), ...tlv(RESPONSE, body)];
  return Uint8Array.from(tlv(0x30, message));
}

function encode(value: Value): number[] {
  if ('int' in value) return int(value.int);
  if ('gauge' in value) return unsigned(0x42, value.gauge);
  if ('ticks' in value) return unsigned(0x43, value.ticks);
  if ('text' in value) return tlv(4, [...Buffer.from(value.text)]);
  if ('hex' in value) return tlv(4, [...Buffer.from(value.hex.replaceAll(':', ''), 'hex')]);
  if ('oid' in value) return oidBytes(value.oid);
  return tlv(0x40, value.ip.split('.').map(Number));
}

function int(value: number): number[] {
  return unsigned(2, value);
}

function unsigned(tag: number, value: number): number[] {
  const octets: number[] = [];
  let rest = value;
  do {
    octets.unshift(rest % 256);
    rest = Math.floor(rest / 256);
  } while (rest > 0);
  return tlv(tag, (octets[0] ?? 0) > 0x7f ? [0, ...octets] : octets);
}

function oidBytes(oid: string): number[] {
  const [first = 0, second = 0, ...rest] = oid.split('.').map(Number);
  return tlv(6, [first * 40 + second, ...rest].flatMap(base128));
}

function base128(value: number): number[] {
  const octets = [value % 128];
  for (let rest = Math.floor(value / 128); rest > 0; rest = Math.floor(rest / 128)) {
    octets.unshift((rest % 128) | 0x80);
  }
  return octets;
}

function readOid(body: Uint8Array = new Uint8Array()): string {
  const numbers: number[] = [];
  let value = 0;
  for (const octet of body) {
    value = value * 128 + (octet & 0x7f);
    if (octet < 0x80) {
      numbers.push(value);
      value = 0;
    }
  }
  const [head = 0, ...rest] = numbers;
  const first = Math.min(2, Math.floor(head / 40));
  return [first, head - first * 40, ...rest].join('.');
}

function tlv(tag: number, body: readonly number[]): number[] {
  const { length } = body;
  if (length < 0x80) return [tag, length, ...body];
  return length < 0x100 ? [tag, 0x81, length, ...body] : [tag, 0x82, length >> 8, length & 0xff, ...body];
}

function fields(bytes: Uint8Array): { tag: number; body: Uint8Array }[] {
  const found: { tag: number; body: Uint8Array }[] = [];
  for (let at = 0; at + 2 <= bytes.length; ) {
    const short = bytes[at + 1] ?? 0;
    const more = short < 0x80 ? 0 : short & 0x7f;
    const start = at + 2 + more;
    const length = more === 0 ? short : number(bytes.subarray(at + 2, start));
    found.push({ tag: bytes[at] ?? 0, body: bytes.subarray(start, start + length) });
    at = start + length;
  }
  return found;
}

function number(bytes: Uint8Array = new Uint8Array()): number {
  return bytes.reduce((sum, octet) => sum * 256 + octet, 0);
}
