/** A look through the agent in the Node of another place. */
import { cutOff, type Entry, gather } from '../run/journal-entry.js';
import type { Progress } from '../run/observe.js';
import type { Evidence } from '../sighting/types.js';
import { type Acceptance, acceptEvidence } from './accept.js';
import { type AgentRequest, agentMessageSchema } from './messages.js';
import { portName } from './port-looks.js';
import { readMessage } from './read-message.js';
import type { Session } from './session.js';
import type { PlaceTrouble } from './trouble.js';

export interface LookOptions {
  readonly nonce: string;
  readonly agent: string;
  /** All of it has to be done by then. */
  readonly withinMs: number;
  readonly now: () => Date;
  readonly onProgress?: ((progress: Progress) => void) | undefined;
}

export interface PlaceAnswer {
  /** All that came, accepted; undefined where it did not even say where it looks from. */
  readonly evidence: Evidence | undefined;
  /** By each of its ports where several share a network. */
  readonly ports?: readonly Evidence[] | undefined;
  /** Why it is not whole. */
  readonly trouble?: PlaceTrouble | undefined;
}

/** A host has fewer. */
const MOST_PORTS = 32;
/** Lines that are none of ours, until it counts as garbage. */
const STRAY_LINES = 50;

/** Never rejects. */
export async function lookByNode(
  session: Session,
  request: AgentRequest,
  { nonce, agent, withinMs, now, onProgress = () => {} }: LookOptions,
): Promise<PlaceAnswer> {
  session.write(`${agent}\n${JSON.stringify(request)}\n`);
  const entries: Entry[] = [];
  const ports: Evidence[] = [];
  const until = performance.now() + withinMs;
  let aheadMs = 0;
  let stray = 0;
  const accepted = (evidence: Evidence): Evidence =>
    acceptEvidence(evidence, { ...acceptance(request), aheadMs });
  const cut = (trouble: PlaceTrouble): PlaceAnswer => {
    session.end();
    const seen = cutOff(entries, request, new Date(now().getTime() + aheadMs).toISOString());
    return { evidence: seen === undefined ? undefined : accepted(seen), ports, trouble };
  };
  for (;;) {
    if (performance.now() > until) return cut({ trouble: 'too-slow' });
    const line = await session.next();
    if (typeof line !== 'string') return cut(line);
    const message = readMessage(line, nonce, agentMessageSchema);
    if (message === undefined) {
      stray += 1;
      if (stray > STRAY_LINES) return cut({ trouble: 'garbage' });
      continue;
    }
    switch (message.kind) {
      case 'hello':
        aheadMs = message.at - now().getTime();
        break;
      case 'alive':
        break;
      case 'progress':
        onProgress(message.progress);
        break;
      case 'entry':
        entries.push(message.entry);
        break;
      case 'port':
        if (ports.length < MOST_PORTS)
          ports.push(
            acceptEvidence(message.evidence, {
              ...acceptance(request),
              name: portName(request.name, message.port),
              aheadMs,
            }),
          );
        break;
      case 'fault':
        return cut({ trouble: 'agent-failed', said: message.said });
      case 'evidence': {
        session.end();
        return { evidence: accepted({ ...message.evidence, sightings: gather(entries).sightings }), ports };
      }
    }
  }
}

function acceptance({ plan, stage, only, name, from }: AgentRequest): Omit<Acceptance, 'aheadMs'> {
  return { plan, stage, only, name, from };
}
