/** The pulse of another place: it asks the addresses something small every second, and a line comes over the open connection for each change. */
import type { PulseTarget } from '../pulse/pulse.js';
import { EVERY_MS } from '../pulse/question.js';
import { agentText } from './agent-text.js';
import type { ElsewhereDeps } from './look-from.js';
import { type PulseRequest, pulseMessageSchema } from './messages.js';
import type { RemotePlace } from './place.js';
import { readMessage } from './read-message.js';
import { openSession } from './session.js';
import { MOST_SHELL_TARGETS, pulseScript } from './shell-pulse.js';
import type { PlaceTrouble } from './trouble.js';

export interface PulseFromRequest {
  readonly place: RemotePlace;
  readonly targets: readonly PulseTarget[];
  readonly framesPerSecond: number;
  /** How many ask the same devices, the laptop included. */
  readonly askers: number;
  /** Told once they are asked, with how many of them. */
  readonly onBegun?: ((asked: number) => void) | undefined;
}

/** So many may ask a device every second. More of them ask less often. */
const ASKERS_A_SECOND = 4;
/** Changes of one address in a minute, all together, before the place is taken to make them up. */
const CHANGES_EACH = 10;
const MINUTE_MS = 60_000;
/** Lines that are none of ours, until it counts as garbage. */
const STRAY_LINES = 50;

/** Runs until the signal aborts or the place fails, and gives the reason. Never rejects. Addresses that were not asked about are not told. */
export async function pulseFrom(
  { place, targets, framesPerSecond, askers, onBegun }: PulseFromRequest,
  deps: ElsewhereDeps,
  signal: AbortSignal,
  onChange: (address: string, alive: boolean) => void,
): Promise<PlaceTrouble> {
  const nonce = deps.nonce();
  const session = await openSession(place, { programs: deps.programs, nonce }, signal, deps.silenceMs);
  if ('trouble' in session) return session;
  const everyMs = EVERY_MS * Math.max(1, askers / ASKERS_A_SECOND);
  const request: PulseRequest = { kind: 'pulse', targets, everyMs, framesPerSecond };
  const known = new Set(targets.map(({ address }) => address));
  let stray = 0;
  let told = 0;
  let minuteBegan = performance.now();
  try {
    const byNode = session.greeted.kind === 'node';
    onBegun?.(byNode ? targets.length : Math.min(targets.length, MOST_SHELL_TARGETS));
    session.write(
      byNode ? `${(deps.agent ?? agentText)()}\n${JSON.stringify(request)}\n` : pulseScript(nonce, targets),
    );
    for (;;) {
      const line = await session.next();
      if (typeof line !== 'string') return line;
      const message = readMessage(line, nonce, pulseMessageSchema);
      if (message === undefined) {
        stray += 1;
        if (stray > STRAY_LINES) return { trouble: 'garbage' };
      } else if (message.kind === 'pulse') {
        if (performance.now() - minuteBegan > MINUTE_MS) {
          minuteBegan = performance.now();
          told = 0;
        }
        told += 1;
        if (told > CHANGES_EACH * targets.length) return { trouble: 'too-much' };
        if (known.has(message.address)) onChange(message.address, message.alive);
      }
    }
  } catch (error) {
    return { trouble: 'agent-failed', said: String(error) };
  } finally {
    session.end();
  }
}
