/** iSCSI discovery at one portal: what the array says it has. The session itself is src/wire/iscsi/discovery.ts; here is the socket. */
import { randomBytes } from 'node:crypto';
import type { Socket } from 'node:net';
import { withoutZone } from '../plan/address.js';
import type { PlannedService } from '../plan/model.js';
import type { IscsiSighting, ServiceProof } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import type { ByteQueue } from '../wire/byte-queue.js';
import { textOf, u8 } from '../wire/bytes.js';
import { createDiscovery } from '../wire/iscsi/discovery.js';
import { opensLikeTarget, takePdu } from '../wire/iscsi/pdu.js';
import { talkLimits } from './bound.js';
import { converse, type Ending, type Line, WORDLESS, wordless } from './exchange.js';
import { overConnection } from './over-connection.js';
import { INTERRUPTED } from './refusal.js';
import { answered, notAsked, type ProofOutcome, type ServiceProbe } from './service-probe.js';
import { dial } from './tcp-dial.js';
import type { Patience, Probe } from './types.js';

export interface IscsiPortalTarget {
  readonly address: string;
  readonly port: number;
}

/** The list is there; the answer to the logout is a courtesy, in milliseconds. */
const LOGOUT_MS = 250;

/** Nothing within one patience is silence, and the whole session costs two: a port that took the connection is not tried again. */
export const probeIscsi: Probe<IscsiPortalTarget, IscsiSighting> = async (target, patience, signal) => {
  const dialled = await dial(target, patience, signal);
  if (dialled.outcome !== 'accepted') return dialled;
  return discover(target, dialled.socket, patience, signal);
};

/** The same over the one connection that proves the service. */
export const proveIscsi: ServiceProbe = (target, patience, signal) => {
  const { address, service } = target;
  return overConnection(target, patience, signal, async (socket) => {
    const iscsi = await discover({ address, port: service.port }, socket, patience, signal);
    return { proof: iscsiProof(iscsi, service), iscsi };
  });
};

function discover(
  target: IscsiPortalTarget,
  socket: Socket,
  patience: Patience,
  signal: AbortSignal,
): Promise<IscsiSighting> {
  const session = createDiscovery({
    connection: { ...target, address: withoutZone(target.address) },
    isid: randomIsid(),
  });
  let result: IscsiSighting | undefined;
  let answers = 0;

  const onBytes = (queue: ByteQueue, line: Line): IscsiSighting | undefined => {
    while (queue.length > 0) {
      if (answers === 0 && !opensLikeTarget(u8(queue.peek(), 0))) return otherProtocol(queue);
      const taken = takePdu(queue.peek());
      if (!taken.ok) return result ?? garbage(taken.detail);
      if (taken.value === undefined) return undefined;
      queue.drop(taken.value.size);
      answers += 1;
      const step = session.receive(taken.value.pdu);
      for (const bytes of step.send) line.send(bytes);
      result ??= step.result;
      if (result !== undefined) line.hurry(LOGOUT_MS);
      if (step.finished) return result ?? garbage('the session ended without a list');
    }
    return undefined;
  };

  const onEnd = (ending: Ending, queue: ByteQueue): IscsiSighting => {
    if (ending === 'interrupted') return INTERRUPTED;
    return result ?? session.soFar() ?? halfOpen(ending, answers, queue.length);
  };

  return converse(socket, { opening: session.start(), onBytes, onEnd }, talkLimits(patience), signal);
}

function garbage(detail: string): IscsiSighting {
  return { outcome: 'garbage', cause: 'malformed', detail };
}

/** RFC 7143 §11.12.5: type 10 "random" in the first two bits. */
function randomIsid(): Uint8Array {
  const isid = new Uint8Array(6);
  isid.set(randomBytes(5), 1);
  isid[0] = 0x80;
  return isid;
}

function otherProtocol(queue: ByteQueue): IscsiSighting {
  const said = cleanText(textOf(queue.peek().subarray(0, 80)), 60);
  const detail = `the answer to a login begins: ${said}`;
  return { outcome: 'not-iscsi', cause: 'other-protocol', detail };
}

function halfOpen(ending: Exclude<Ending, 'interrupted'>, answers: number, rest: number): IscsiSighting {
  if (answers === 0 && rest === 0)
    return { outcome: 'half-open', cause: WORDLESS[ending], detail: wordless(ending) };
  const [cause, how] =
    ending === 'timeout' ? (['timeout', 'silent'] as const) : (['truncated', 'closed'] as const);
  return { outcome: 'half-open', cause, detail: `connected, then ${how} in the middle of the session` };
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
  if (sighting.outcome !== 'listed')
    return answered(service, PROOFS[sighting.outcome], sighting.detail, sighting.cause);
  const targets = sighting.targets.length;
  const portals = new Set(
    sighting.targets.flatMap((target) => target.portals.map((portal) => `${portal.address} ${portal.port}`)),
  ).size;
  return answered(service, 'proven', `${plural(targets, 'target')} at ${plural(portals, 'portal')}`);
}

function plural(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
