/** One look from each of several other places, beside one another. One that fails, hangs or lies costs itself alone. */
import pLimit from 'p-limit';
import type { Plan } from '../plan/model.js';
import type { Progress } from '../run/observe.js';
import { DEFAULT_PACE, type PaceLimits } from '../run/pace.js';
import type { Credential } from '../run/probe-set.js';
import { questionsFor } from '../run/questions.js';
import type { Evidence } from '../sighting/types.js';
import type { Programs } from '../system/program-types.js';
import { agentText } from './agent-text.js';
import { lookByNode, type PlaceAnswer } from './node-look.js';
import { notLooked } from './not-looked.js';
import type { RemotePlace } from './place.js';
import { sentCredentials, withoutSecrets } from './sent.js';
import { openSession } from './session.js';
import { lookByShell } from './shell-look.js';
import { troubleText } from './trouble.js';

export interface ElsewhereRequest {
  readonly plan: Plan;
  readonly stage: Evidence['stage'];
  readonly only?: readonly string[] | undefined;
  readonly places: readonly RemotePlace[];
  /** Credentials with their secrets, where they may go along to these places. */
  readonly credentials: ReadonlyMap<string, Credential>;
  /** The laptop looks, too: it and the places share what one device can bear. */
  readonly beside: boolean;
  readonly pace?: PaceLimits | undefined;
  readonly onProgress?: ((place: string, progress: Progress) => void) | undefined;
  /** Told as each place is done, with what was wrong there. */
  readonly onDone?: ((place: string, trouble: string | undefined) => void) | undefined;
}

export interface ElsewhereDeps {
  readonly programs: Programs;
  readonly now: () => Date;
  /** Letters and digits that nobody guesses, another each time. */
  readonly nonce: () => string;
  /** For tests. */
  readonly agent?: (() => string) | undefined;
  readonly silenceMs?: { readonly greeting: number; readonly later: number } | undefined;
}

/** So many connections at a time: the others wait their turn. */
const PLACES_AT_ONCE = 8;
/** A look may take so long, and so much more for each address. In milliseconds. */
const LEAST_MS = 120_000;
const EACH_ADDRESS_MS = 3_000;

/** In the order of the places. Never rejects. */
export async function lookFromElsewhere(
  request: ElsewhereRequest,
  deps: ElsewhereDeps,
  signal: AbortSignal,
): Promise<readonly Evidence[]> {
  const limit = pLimit(PLACES_AT_ONCE);
  const looks = await Promise.all(
    request.places.map((place) => limit(() => lookFrom(place, request, deps, signal))),
  );
  return looks.flat();
}

async function lookFrom(
  place: RemotePlace,
  request: ElsewhereRequest,
  deps: ElsewhereDeps,
  signal: AbortSignal,
): Promise<readonly Evidence[]> {
  const startedAt = deps.now().toISOString();
  const looked = await tryLook(place, request, deps, signal).catch(
    (error: unknown): PlaceAnswer => ({
      evidence: undefined,
      trouble: { trouble: 'agent-failed', said: String(error) },
    }),
  );
  const { evidence, trouble, ports = [] } = looked;
  request.onDone?.(place.name, trouble === undefined ? undefined : troubleText(trouble));
  if (evidence === undefined)
    return [
      notLooked(place, trouble ?? { trouble: 'ended' }, {
        stage: request.stage,
        only: request.only,
        startedAt,
        finishedAt: deps.now().toISOString(),
      }),
    ];
  if (trouble === undefined) return [evidence, ...ports];
  const note = `The look from ${place.name} (${place.ssh}) was cut short: ${troubleText(trouble)}.`;
  return [{ ...evidence, complete: false, notes: [...evidence.notes, note] }, ...ports];
}

async function tryLook(
  place: RemotePlace,
  request: ElsewhereRequest,
  deps: ElsewhereDeps,
  signal: AbortSignal,
): Promise<PlaceAnswer> {
  const nonce = deps.nonce();
  const session = await openSession(place, { programs: deps.programs, nonce }, signal, deps.silenceMs);
  if ('trouble' in session) return { evidence: undefined, trouble: session };
  const { plan, stage, only } = request;
  const withinMs = LEAST_MS + EACH_ADDRESS_MS * questionsFor(plan, { only }).length;
  const common = { plan: withoutSecrets(plan), stage, only, name: place.name, from: place.ssh };
  const pace = sharedPace(request.places.length + (request.beside ? 1 : 0), request.pace);
  const onProgress = (progress: Progress): void => request.onProgress?.(place.name, progress);
  try {
    return session.greeted.kind === 'node'
      ? await lookByNode(
          session,
          { kind: 'look', ...common, credentials: sentCredentials(plan, request.credentials, only), pace },
          { nonce, agent: (deps.agent ?? agentText)(), withinMs, now: deps.now, onProgress },
        )
      : await lookByShell(
          session,
          { ...common, pace, nodeVersion: session.greeted.version },
          { nonce, withinMs, now: deps.now, onProgress },
          signal,
        );
  } finally {
    session.end();
  }
}

/** What one device can bear does not grow with the number of those who ask: each gets its share, and never less than one at a time. */
export function sharedPace(places: number, pace: PaceLimits = DEFAULT_PACE): PaceLimits {
  const sharing = Math.min(places, PLACES_AT_ONCE + 1);
  return {
    ...pace,
    deviceConcurrent: Math.max(1, Math.floor(pace.deviceConcurrent / sharing)),
    devicePerSecond: Math.max(1, pace.devicePerSecond / sharing),
  };
}
