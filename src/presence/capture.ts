/** A capture program whose stream is decoded while it runs. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { Clock } from '../probe/types.js';
import type { ProgramStream } from '../system/program-types.js';
import type { CaptureProgram, System } from '../system/types.js';
import { cleanText } from '../text/clean.js';
import { type CaptureFrame, createCaptureReader } from '../wire/pcap.js';

/**
 * ARP, LLDP and IPv6 neighbour discovery, tagged or not. `vlan` moves every offset after it, so it comes last.
 * ip6[40] is the ICMPv6 type where no extension header stands between (RFC 8200 §3): 135 solicitation, 136 advertisement.
 */
const DISCOVERY = 'icmp6 and (ip6[40] = 135 or ip6[40] = 136)';
const PRESENCE_FILTER = `arp or ether proto 0x88cc or (${DISCOVERY}) or (vlan and (arp or (${DISCOVERY})))`;

/** Octets kept of a frame: LLDP with its texts needs more than ARP's 42. */
const SNAPSHOT = 1600;
/** Room for the answers of a thousand devices that come in the same moment, in MiB. */
const BUFFER_MIB = 8;
/** A capture that nobody ends, because we were killed, ends by itself: a working day, in seconds. On POSIX the watcher ends it at once. */
const LONGEST_S = 12 * 60 * 60;
/** A capture program that has neither begun nor failed by then is not waited for. */
const READY_MS = 3000;
const READY_POLL_MS = 10;

export interface Capture {
  readonly interface: string;
  /** Resolves when the program has ended and all it wrote is decoded; with a reason where it was not we who ended it. */
  readonly ended: Promise<string | undefined>;
  stop(): void;
}

/** A capture that was opened to see whether it may be, and goes on. Whoever listens to its port later sets `frames`. */
export interface KeptCapture {
  readonly program: CaptureProgram;
  readonly port: string;
  readonly capture: Capture;
  frames: (frame: CaptureFrame) => void;
}

export type OpenedCapture =
  | { readonly ok: true; readonly capture: Capture }
  | {
      readonly ok: false;
      readonly why: 'not-found' | 'not-permitted' | 'failed';
      readonly reason: string;
    };

/** Resolves once frames are being taken, or with why not. Every frame goes to `onFrame` as it comes. */
export async function openCapture(
  deps: { readonly system: Pick<System, 'programs' | 'captureDevice'>; readonly clock: Pick<Clock, 'now'> },
  program: CaptureProgram,
  port: string,
  onFrame: (frame: CaptureFrame) => void,
): Promise<OpenedCapture> {
  const device = await deps.system.captureDevice(program, port);
  if (device === undefined)
    return { ok: false, why: 'failed', reason: `${program} does not know the port ${port}` };
  const started = deps.system.programs.start(program, argumentsFor(program, device));
  if (!('stdout' in started) || !('ended' in started)) {
    const why = 'ran' in started && !started.ran ? started.why : 'failed';
    return {
      ok: false,
      why,
      reason: `${program} ${why === 'not-found' ? 'is not installed' : 'could not be started'}`,
    };
  }
  const state = { ready: false, over: false, stopped: false };
  const reading = drain(started, onFrame, () => {
    state.ready = true;
  }).then(() => {
    state.over = true;
  });
  const deadline = deps.clock.now() + READY_MS;
  // tcpdump says that it listens; dumpcap writes the head of the capture, which comes to the same.
  while (!state.ready && !state.over && deps.clock.now() < deadline) {
    if (program === 'tcpdump' && /listening on /.test(started.stderr())) break;
    await sleep(READY_POLL_MS);
  }
  if (state.over || (!state.ready && !/listening on /.test(started.stderr()))) {
    started.stop();
    await started.ended;
    return refusalOf(program, started.stderr());
  }
  const ended = Promise.all([reading, started.ended]).then(() =>
    state.stopped ? undefined : `${program} on ${port} ended by itself: ${lastLine(started.stderr())}`,
  );
  return {
    ok: true,
    capture: {
      interface: port,
      ended,
      stop: () => {
        state.stopped = true;
        started.stop();
      },
    },
  };
}

function argumentsFor(program: CaptureProgram, port: string): string[] {
  const common = ['-i', port, '-s', String(SNAPSHOT), '-w', '-'];
  return program === 'tcpdump'
    ? // A frame is worth most the moment it comes: no waiting for a full buffer.
      [...common, '-n', '-U', '--immediate-mode', '-B', String(BUFFER_MIB * 1024), PRESENCE_FILTER]
    : [...common, '-q', '-P', '-a', `duration:${LONGEST_S}`, '-B', String(BUFFER_MIB), '-f', PRESENCE_FILTER];
}

async function drain(
  stream: ProgramStream,
  onFrame: (frame: CaptureFrame) => void,
  onFirst: () => void,
): Promise<void> {
  const reader = createCaptureReader();
  for await (const chunk of stream.stdout) {
    onFirst();
    for (const frame of reader.push(chunk)) onFrame(frame);
  }
}

function refusalOf(program: CaptureProgram, stderr: string): OpenedCapture {
  const denied = /permi(ssion|tted)|not permitted|denied|must be root|access/i.test(stderr);
  return denied
    ? { ok: false, why: 'not-permitted', reason: `${program} may not capture here (no right)` }
    : { ok: false, why: 'failed', reason: `${program} could not capture: ${lastLine(stderr)}` };
}

function lastLine(stderr: string): string {
  const lines = stderr.split('\n').filter((line) => line.trim() !== '');
  return cleanText(lines.at(-1) ?? 'it said nothing', 120);
}
