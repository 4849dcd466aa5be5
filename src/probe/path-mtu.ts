/**
 * Path MTU by echo with don't-fragment (RFC 1191 §3, RFC 8201 §4), through the system's ping. A large echo that is lost says nothing by
 * itself: the small one must pass, and the large one fail several times over.
 */
import { performance } from 'node:perf_hooks';
import type { MtuSighting } from '../sighting/types.js';
import { knowsNoDontFragment, readTooLong, type TooLong } from '../wire/mtu-output.js';
import { type PingReading, readPingOutput } from '../wire/ping-output.js';
import { refusedAtOnce, shortPing6Here } from './icmp.js';
import type { PingFlavour } from './icmp-command.js';
import { cannotMeasure, echoOverhead, type MtuPing, mtuCommand } from './path-mtu-command.js';
import { type SearchResult, searchMtu, type Trial } from './path-mtu-search.js';
import { INTERRUPTED } from './refusal.js';
import type { Patience, Probe, Programs } from './types.js';

export interface MtuTarget {
  readonly address: string;
  /** IP MTU that the plan wants, in octets. */
  readonly plannedMtu: number;
  /** MTU of the interface that the echo leaves by, where known. */
  readonly interfaceMtu?: number | undefined;
}

export interface MtuDeps {
  readonly programs: Programs;
  readonly platform?: string | undefined;
  readonly flavour?: PingFlavour | undefined;
}

/** Found out at the first echo: programs whose ping does not know the discovery that forgets (see MtuPing). */
const WITHOUT_PROBE = new WeakSet<Programs>();

/** Payload of the small echo, in octets: that of ping itself. */
const SMALL = 56;
/**
 * Echoes of one size: one, then five more where it did not come back, and six more for the planned size, on which all hangs.
 * With every fifth packet lost in each direction, an echo comes back 0.64 of the time: 0.36^6 misleads once in 460 sizes, 0.36^12 once in 200,000.
 */
const ROUNDS = [1, 5] as const;
const PLANNED_ROUNDS = [1, 5, 6] as const;
/** An answer after this many times the small echo's round trip is not waited for, but always this long at least, in milliseconds. */
const ROUND_TRIPS = 10;
const SHORTEST_WAIT_MS = 300;
/** Echoes of one measurement. */
const ECHO_LIMIT = 160;

type Echo =
  | { readonly kind: 'passed'; readonly rttMs: number }
  | { readonly kind: 'failed'; readonly tooLong?: TooLong | undefined }
  | { readonly kind: 'stopped'; readonly sighting: MtuSighting };

export function mtuProbe({
  programs,
  platform = process.platform,
  flavour,
}: MtuDeps): Probe<MtuTarget, MtuSighting> {
  return async (target, patience, signal) => {
    const { address, plannedMtu, interfaceMtu } = target;
    const cannot = cannotMeasure(address, { platform, flavour });
    if (cannot !== undefined) return { outcome: 'not-run', cause: 'not-supported', ...cannot };
    if (signal.aborted) return INTERRUPTED;
    let echoes = 0;
    let waitMs = patience.timeoutMs;

    const ping = async (mtu: number, count: number): Promise<Echo> => {
      echoes += count;
      if (echoes > ECHO_LIMIT) return { kind: 'failed' };
      const discovery: MtuPing['discovery'] = WITHOUT_PROBE.has(programs) ? 'do' : 'probe';
      const { command, args, killAfterMs } = mtuCommand(
        address,
        mtu,
        { count, waitMs },
        { platform, discovery, wholeSeconds: platform === 'darwin' && !shortPing6Here() },
      );
      const beganMs = performance.now();
      const result = await programs.run(command, args, {
        timeoutMs: killAfterMs,
        signal,
        maxBytes: 64 * 1024,
      });
      if (signal.aborted) return { kind: 'stopped', sighting: INTERRUPTED };
      if (!result.ran) return { kind: 'stopped', sighting: notStarted(command, result.why) };
      const text = `${result.stdout}\n${result.stderr}`;
      if (knowsNoDontFragment(text)) {
        if (platform !== 'linux' || discovery === 'do') return { kind: 'stopped', sighting: cannotSet() };
        WITHOUT_PROBE.add(programs);
        return ping(mtu, count);
      }
      const reading = readPingOutput(text, address);
      // Windows: above the size that it remembers of a path it refuses by itself, at once, in words of the user's language.
      const refused =
        platform === 'win32' &&
        count === 1 &&
        reading.rttsMs.length === 0 &&
        reading.unreachable === undefined &&
        refusedAtOnce(performance.now() - beganMs, count, waitMs);
      return echoOf(reading, refused ? { by: 'local' } : readTooLong(text));
    };

    /** Several tries of one size; who says "too long" is believed at once. */
    const ask = async (mtu: number, rounds: readonly number[] = ROUNDS): Promise<Echo> => {
      let echo: Echo = { kind: 'failed' };
      for (const count of rounds) {
        echo = await ping(mtu, count);
        if (echo.kind !== 'failed' || echo.tooLong !== undefined) break;
      }
      return echo;
    };

    const small = SMALL + echoOverhead(address);
    const first = await ask(small, attemptsOf(patience));
    if (first.kind === 'stopped') return first.sighting;
    if (first.kind === 'failed') return { outcome: 'no-reply', asked: small, cause: 'timeout' };
    waitMs = Math.min(patience.timeoutMs, Math.max(SHORTEST_WAIT_MS, first.rttMs * ROUND_TRIPS));

    // Above its own interface a system sends nothing: that is known without asking.
    const local: TooLong | undefined =
      interfaceMtu !== undefined && interfaceMtu < plannedMtu
        ? { by: 'local', mtu: interfaceMtu }
        : undefined;
    const asked = local?.mtu ?? plannedMtu;
    if (asked <= small) return { outcome: 'passes', mtu: plannedMtu };
    const large = await ask(asked, PLANNED_ROUNDS);
    if (large.kind === 'stopped') return large.sighting;
    if (large.kind === 'passed') {
      return local === undefined
        ? { outcome: 'passes', mtu: plannedMtu }
        : { outcome: 'smaller', mtu: asked, asked: plannedMtu, told: 'local' };
    }

    let stopped: MtuSighting | undefined;
    const trial = async (mtu: number): Promise<Trial> => {
      const echo = await ask(mtu);
      if (echo.kind === 'stopped') stopped = echo.sighting;
      return echo;
    };
    const found = await searchMtu({ passes: small, fails: asked, told: large.tooLong }, trial);
    if (found === undefined) return stopped ?? INTERRUPTED;
    // The device may have gone away meanwhile: then everything large was silent for another reason.
    const still = await ask(small, attemptsOf(patience));
    if (still.kind === 'stopped') return still.sighting;
    if (still.kind === 'failed') return { outcome: 'no-reply', asked: plannedMtu, cause: 'timeout' };
    return { outcome: 'smaller', mtu: found.mtu, asked: plannedMtu, ...teller(found, interfaceMtu) };
  };
}

function attemptsOf(patience: Patience): readonly number[] {
  return [1, Math.max(1, patience.attempts)];
}

function echoOf(reading: PingReading, tooLong: TooLong | undefined): Echo {
  if (reading.rttsMs.length > 0) return { kind: 'passed', rttMs: Math.min(...reading.rttsMs) };
  // Windows in another language: an ICMP error with an address, to a large echo alone, is what a router says.
  return {
    kind: 'failed',
    tooLong: tooLong ?? (reading.unreachable?.by === undefined ? undefined : { by: 'router' }),
  };
}

/** A local refusal below the interface's own MTU is the system's memory of what a router said earlier. */
function teller(
  { mtu, tooLong }: SearchResult,
  interfaceMtu: number | undefined,
): { readonly told: 'local' | 'router' | 'silent'; readonly detail?: string } {
  if (tooLong === undefined) return { told: 'silent' };
  if (tooLong.by === 'router') return { told: 'router' };
  // Not every system tells the size that it remembers; nothing above the interface's own was asked.
  const remembered = interfaceMtu !== undefined && (tooLong.mtu ?? mtu) < interfaceMtu;
  if (!remembered) return { told: 'local' };
  return {
    told: 'router',
    detail: 'as this system remembers from an earlier message; it forgets after 10 minutes',
  };
}

function notStarted(command: string, why: string): MtuSighting {
  if (why === 'not-found')
    return {
      outcome: 'not-run',
      cause: 'not-installed',
      reason: `no ${command} program`,
      mend: 'install ping',
    };
  return {
    outcome: 'not-run',
    cause: why === 'not-permitted' ? 'not-permitted' : 'local-failure',
    reason: `${command} could not be started (${why})`,
  };
}

function cannotSet(): MtuSighting {
  return {
    outcome: 'not-run',
    cause: 'not-supported',
    reason: "this system's ping cannot set don't-fragment",
    mend: 'install ping of iputils',
  };
}
