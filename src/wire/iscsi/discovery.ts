/**
 * A discovery session (RFC 7143 §4.3, appendix C) as a function from PDUs to PDUs: log in without authentication, SendTargets=All,
 * log out. No socket, no clock. It never logs in to a target and never answers a challenge.
 */
import type { Cause, IscsiSighting } from '../../sighting/types.js';
import { concat } from '../bytes.js';
import { decodeKeys, encodeKeys, type KeyValue } from './keys.js';
import { type LoginStep, readLogin } from './login.js';
import { answersTo, OPERATIONAL_OFFER, SECURITY_OFFER } from './negotiation.js';
import {
  CONTINUE,
  encodePdu,
  FINAL,
  IMMEDIATE,
  NO_TAG,
  OPCODE,
  type Pdu,
  type PduHead,
  statusNumber,
  taskTag,
  transferTag,
} from './pdu.js';
import { targetsFrom } from './targets.js';

/** Bounds of one session. 2 MiB is about 30,000 portals. */
const TEXT_LIMIT = 2 * 1024 * 1024;
const LOGIN_ROUNDS = 12;
const PDU_LIMIT = 2048;

export interface DiscoveryStep {
  readonly send: readonly Uint8Array[];
  /** Set once the session has told what it will; after it, `send` may still hold the logout. */
  readonly result?: IscsiSighting | undefined;
  /** Nothing more will come that matters: close. */
  readonly finished: boolean;
}

export interface Discovery {
  start(): Uint8Array;
  receive(pdu: Pdu): DiscoveryStep;
  /** What a list has told that was broken off; undefined where there is none yet. */
  soFar(): IscsiSighting | undefined;
}

export interface DiscoveryOptions {
  readonly connection: { readonly address: string; readonly port: number };
  /** Six octets, the first two bits 10: "random" (§11.12.5). Two sessions of one name and ISID would end each other (§6.3.5). */
  readonly isid: Uint8Array;
}

export function createDiscovery({ connection, isid }: DiscoveryOptions): Discovery {
  let phase: 'security' | 'operational' | 'text' | 'logout' = 'security';
  let expectedStatus = 0;
  let tag = 1;
  let rounds = 0;
  let pdus = 0;
  let sessionHandle = new Uint8Array(2);
  let text: Uint8Array[] = [];
  let textLength = 0;

  const send = (head: Pick<PduHead, 'opcode'> & Partial<PduHead>, data?: Uint8Array) =>
    // Every request is immediate, so the command number never moves (§4.2.2.1).
    encodePdu({ taskTag: tag, commandNumber: 1, expectedStatus, ...head }, data);

  /** Stage numbers of §11.12.3: 0 security, 1 operational, 3 full feature. */
  const login = (pairs: readonly KeyValue[], more = false) => {
    const stages = phase === 'security' ? 0x01 : 0x07;
    const flags = more ? stages & 0x0c : FINAL | stages;
    const octets8to15 = concat([isid, sessionHandle]);
    return send({ opcode: OPCODE.loginRequest | IMMEDIATE, flags, octets8to15 }, encodeKeys(pairs));
  };

  const askForText = (transfer: number, data?: Uint8Array) =>
    send({ opcode: OPCODE.textRequest | IMMEDIATE, word20: transfer }, data);

  function receive(pdu: Pdu): DiscoveryStep {
    pdus += 1;
    if (pdus > PDU_LIMIT) return ended(garbage('the session does not come to an end', 'too-much'));
    if (pdu.opcode === OPCODE.reject) {
      if (phase === 'logout') return { send: [], finished: true };
      const reason = (pdu.header[2] ?? 0).toString(16).padStart(2, '0');
      const detail = `the target rejected a request, reason 0x${reason}`;
      return ended({ outcome: 'rejected', cause: 'no-access', detail });
    }
    if (pdu.opcode === OPCODE.asyncMessage) return { send: [], finished: false };
    if (pdu.opcode === OPCODE.nopIn) return { send: pong(pdu), finished: false };
    // StatSN of a request answered; of F=0 text answers too (§11.11).
    expectedStatus = (statusNumber(pdu) + 1) % 0x1_0000_0000;
    if (phase === 'text') return receiveText(pdu);
    if (phase === 'logout') return { send: [], finished: true };
    return receiveLogin(pdu);
  }

  /** A target's ping wants its own tag and LUN back (§11.18, §11.19). */
  function pong(pdu: Pdu): readonly Uint8Array[] {
    const transfer = transferTag(pdu);
    if (transfer === NO_TAG) return [];
    const octets8to15 = pdu.header.subarray(8, 16);
    return [send({ opcode: OPCODE.nopOut | IMMEDIATE, taskTag: NO_TAG, word20: transfer, octets8to15 })];
  }

  function receiveLogin(pdu: Pdu): DiscoveryStep {
    rounds += 1;
    const step = readLogin(pdu, text, rounds > LOGIN_ROUNDS);
    if (step.kind === 'ended') return ended(step.result);
    sessionHandle = pdu.header.slice(14, 16);
    text = step.kind === 'more' ? [...text, pdu.data] : [];
    return { send: [nextRequest(step)], finished: false };
  }

  function nextRequest(step: Exclude<LoginStep, { kind: 'ended' }>): Uint8Array {
    if (step.kind === 'more') return login([], true);
    const answers = answersTo(step.pairs);
    if (step.kind === 'stay') return login(answers);
    if (step.stage === 'operational' && phase === 'security') {
      phase = 'operational';
      return login([...OPERATIONAL_OFFER, ...answers]);
    }
    phase = 'text';
    tag += 1;
    return askForText(NO_TAG, encodeKeys([['SendTargets', 'All']]));
  }

  function receiveText(pdu: Pdu): DiscoveryStep {
    if (pdu.opcode !== OPCODE.textResponse || taskTag(pdu) !== tag) {
      return ended(garbage('the answer to SendTargets is no text response to it'));
    }
    text.push(pdu.data);
    textLength += pdu.data.length;
    if (textLength > TEXT_LIMIT) return ended(soFar() ?? garbage('a text without end', 'too-much'));
    const final = (pdu.flags & FINAL) !== 0;
    if (final && (pdu.flags & CONTINUE) === 0) return listed();
    // F=0 or C=1: ask again, empty, with the target's transfer tag (§11.10.4).
    const transfer = transferTag(pdu);
    if (transfer === NO_TAG) return ended(garbage('a list to be continued, without a tag'));
    return { send: [askForText(transfer)], finished: false };
  }

  /** A list that does not come to its end: what came of it is kept, up to the last whole pair, and one more is said to be left out. */
  function soFar(): IscsiSighting | undefined {
    if (phase !== 'text' || textLength === 0) return undefined;
    const bytes = concat(text).subarray(0, TEXT_LIMIT);
    const result = resultOf(bytes.subarray(0, bytes.lastIndexOf(0) + 1), 1);
    return result.outcome === 'listed' && result.targets.length > 0 ? result : undefined;
  }

  function resultOf(bytes: Uint8Array, leftOut: number): IscsiSighting {
    const pairs = decodeKeys(bytes);
    const list = pairs.ok ? targetsFrom(pairs.value, connection) : pairs;
    if (!list.ok) return garbage(list.detail);
    const { targets, unreadable } = list.value;
    const cut = list.value.cut + leftOut;
    return {
      outcome: 'listed',
      targets,
      ...(unreadable.length > 0 ? { unreadable } : {}),
      ...(cut > 0 ? { cut } : {}),
    };
  }

  function listed(): DiscoveryStep {
    const result = resultOf(concat(text), 0);
    if (result.outcome !== 'listed') return ended(result);
    phase = 'logout';
    tag += 1;
    // Reason 0, close the session (§11.14.1).
    const bye = send({ opcode: OPCODE.logoutRequest | IMMEDIATE });
    return { send: [bye], result, finished: false };
  }

  return { start: () => login(SECURITY_OFFER), receive, soFar };
}

function garbage(detail: string, cause: Cause = 'malformed'): IscsiSighting {
  return { outcome: 'garbage', cause, detail };
}

function ended(result: IscsiSighting): DiscoveryStep {
  return { send: [], result, finished: true };
}
