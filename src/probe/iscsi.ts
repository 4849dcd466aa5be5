/** iSCSI discovery at one portal: what the array says it has. The session itself is src/wire/iscsi/discovery.ts; here is the socket. */
import { randomBytes } from 'node:crypto';
import type { PlannedService } from '../plan/model.js';
import type { IscsiSighting, ServiceProof } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import type { ByteQueue } from '../wire/byte-queue.js';
import { textOf, u8 } from '../wire/bytes.js';
import { createDiscovery } from '../wire/iscsi/discovery.js';
import { opensLikeTarget, takePdu } from '../wire/iscsi/pdu.js';
import { converse, type Ending, type Line } from './exchange.js';
import { INTERRUPTED } from './refusal.js';
import { answered, notAsked, type ProofOutcome } from './service-probe.js';
import { dial } from './tcp-dial.js';
import type { Probe } from './types.js';

export interface IscsiPortalTarget {
  readonly address: string;
  readonly port: number;
}

/** A session has some ten messages; a list in many parts may take this many times the patience for one. */
const TOTAL_PATIENCES = 10;
/** The list is there; the answer to the logout is a courtesy, in milliseconds. */
const LOGOUT_MS = 250;

export const probeIscsi: Probe<IscsiPortalTarget, IscsiSighting> = async (target, patience, signal) => {
  const dialled = await dial(target, patience, signal);
  if (dialled.outcome !== 'accepted') {
    return dialled.outcome === 'no-reply' ? { outcome: 'no-reply' } : dialled;
  }
  const session = createDiscovery({ connection: target, isid: randomIsid() });
  let result: IscsiSighting | undefined;
  let answers = 0;

  const onBytes = (queue: ByteQueue, line: Line): IscsiSighting | undefined => {
    while (queue.length > 0) {
      if (answers === 0 && !opensLikeTarget(u8(queue.peek(), 0))) return otherProtocol(queue);
      const taken = takePdu(queue.peek());
      if (!taken.ok) return result ?? { outcome: 'garbage', detail: taken.detail };
      if (taken.value === undefined) return undefined;
      queue.drop(taken.value.size);
      answers += 1;
      const step = session.receive(taken.value.pdu);
      for (const bytes of step.send) line.send(bytes);
      result ??= step.result;
      if (result !== undefined) line.hurry(LOGOUT_MS);
      if (step.finished) return result ?? { outcome: 'garbage', detail: 'the session ended without a list' };
    }
    return undefined;
  };

  const onEnd = (ending: Ending, queue: ByteQueue): IscsiSighting => {
    if (ending === 'interrupted') return INTERRUPTED;
    return result ?? { outcome: 'half-open', detail: halfOpen(ending, answers, queue.length) };
  };

  const idleMs = patience.timeoutMs * Math.max(1, patience.attempts);
  const limits = { idleMs, totalMs: idleMs * TOTAL_PATIENCES };
  return converse(dialled.socket, { opening: session.start(), onBytes, onEnd }, limits, signal);
};

/** RFC 7143 §11.12.5: type 10 "random" in the first two bits. */
function randomIsid(): Uint8Array {
  const isid = new Uint8Array(6);
  isid.set(randomBytes(5), 1);
  isid[0] = 0x80;
  return isid;
}

function otherProtocol(queue: ByteQueue): IscsiSighting {
  const said = cleanText(textOf(queue.peek().subarray(0, 80)), 60);
  return { outcome: 'not-iscsi', detail: `the answer to a login begins: ${said}` };
}

function halfOpen(ending: Ending, answers: number, rest: number): string {
  const said = answers === 0 && rest === 0 ? 'without a word' : 'in the middle of the session';
  return ending === 'closed' ? `connected, then closed ${said}` : `connected, then silent ${said}`;
}

const PROOFS: Readonly<Record<Exclude<IscsiSighting['outcome'], 'not-run'>, ProofOutcome>> = {
  listed: 'proven',
  'authentication-required': 'proven',
  redirected: 'proven',
  rejected: 'proven',
  'not-iscsi': 'other-protocol',
  garbage: 'other-protocol',
  'half-open': 'silent',
  'no-reply': 'silent',
  refused: 'refused',
  unreachable: 'unreachable',
};

/** What a discovery session proves of the service: every status, a refusal to log in too, comes from an iSCSI target. */
export function iscsiProof(sighting: IscsiSighting, service: PlannedService): ServiceProof {
  if (sighting.outcome === 'not-run') return notAsked(service, sighting);
  if (sighting.outcome !== 'listed') return answered(service, PROOFS[sighting.outcome], sighting.detail);
  const targets = sighting.targets.length;
  const portals = new Set(
    sighting.targets.flatMap((target) => target.portals.map((portal) => `${portal.address} ${portal.port}`)),
  ).size;
  return answered(service, 'proven', `${plural(targets, 'target')} at ${plural(portals, 'portal')}`);
}

function plural(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
