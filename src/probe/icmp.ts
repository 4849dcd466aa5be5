/** ICMP echo through the system's ping, so that no administrator rights are needed. */
import { networkInterfaces, release } from 'node:os';
import { performance } from 'node:perf_hooks';
import type { IcmpSighting, NotRun } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { type PingFault, type PingReading, readPingOutput } from '../wire/ping-output.js';
import { hasShortPing6, type PingFlavour, type PingShape, pingCommand } from './icmp-command.js';
import { INTERRUPTED, isFull } from './refusal.js';
import { round } from './tcp-dial.js';
import type { Probe, ProgramResult, Programs } from './types.js';

export interface IcmpDeps {
  readonly programs: Programs;
  readonly platform?: string | undefined;
  /** As `kit` found it; unknown is treated as the least able. */
  readonly flavour?: PingFlavour | undefined;
  /** As hasShortPing6 says; default: of this laptop. */
  readonly shortPing6?: boolean | undefined;
  /** Addresses of this laptop; Windows answers from them where nobody did. */
  readonly ownAddresses?: (() => readonly string[]) | undefined;
}

export function icmpProbe(deps: IcmpDeps): Probe<{ readonly address: string }, IcmpSighting> {
  const shape: PingShape = { platform: deps.platform ?? process.platform, flavour: deps.flavour };
  const ask: EchoQuestion = async (target, patience, signal, change) => {
    const command = pingCommand(target.address, patience, { ...shape, ...change });
    if (command === undefined) return { ran: false, why: 'failed', detail: shape.platform };
    const beganMs = performance.now();
    const result = await deps.programs.run(command.command, command.args, {
      timeoutMs: command.killAfterMs,
      signal,
      maxBytes: 64 * 1024,
    });
    return { ...result, tookMs: performance.now() - beganMs };
  };

  return async (target, patience, signal) => {
    if (signal.aborted) return INTERRUPTED;
    const slow =
      shape.platform === 'darwin' && target.address.includes(':') && !(deps.shortPing6 ?? shortPing6Here());
    let change: Partial<PingShape> = slow ? { plain: true } : {};
    let result = await ask(target, patience, signal, change);
    if (!result.ran && result.why === 'not-found' && target.address.includes(':')) {
      change = { ...change, oneProgram: true };
      result = await ask(target, patience, signal, change);
    }
    let reading = read(result, target.address);
    if (reading?.fault === 'bad-option' && reading.rttsMs.length === 0 && !signal.aborted) {
      result = await ask(target, patience, signal, { ...change, plain: true });
      reading = read(result, target.address);
    }
    if (signal.aborted) return INTERRUPTED;
    if (reading === undefined) return notStarted(result);
    const attempts = Math.max(1, patience.attempts);
    if (shape.platform === 'win32') {
      const here = windowsHere(reading, deps.ownAddresses ?? ownAddresses);
      if (here !== undefined) return here;
      if (isSilent(reading) && refusedAtOnce(result.tookMs ?? 0, attempts, patience.timeoutMs))
        return { outcome: 'not-run', ...FAULTS['send-failed'] };
    }
    return icmpSighting(reading, attempts, result);
  };
}

type EchoQuestion = (
  target: { readonly address: string },
  patience: Parameters<Probe<never, never>>[1],
  signal: AbortSignal,
  change: Partial<PingShape>,
) => Promise<ProgramResult & { readonly tookMs?: number }>;

function read(result: ProgramResult, address: string): PingReading | undefined {
  return result.ran ? readPingOutput(`${result.stdout}\n${result.stderr}`, address) : undefined;
}

export function shortPing6Here(): boolean {
  return hasShortPing6(release(), process.geteuid?.() === 0);
}

function ownAddresses(): readonly string[] {
  return Object.values(networkInterfaces()).flatMap((rows = []) => rows.map(({ address }) => address));
}

/** Windows writes "reply from OWN ADDRESS" and an error where its own neighbour question (ARP, ND) stayed unanswered. */
function windowsHere(
  { rttsMs, unreachable }: PingReading,
  own: () => readonly string[],
): IcmpSighting | undefined {
  const { by } = unreachable ?? {};
  if (rttsMs.length > 0 || by === undefined || !own().includes(by)) return undefined;
  return {
    outcome: 'unreachable',
    cause: 'host-unreachable',
    detail: 'nobody answered the neighbour question',
  };
}

function isSilent({ sent, rttsMs, otherAddress, unreachable, fault }: PingReading): boolean {
  // Without statistics it was no ping: a usage, in whatever language.
  const counted = sent !== undefined && rttsMs.length === 0 && otherAddress === undefined;
  return counted && unreachable === undefined && fault === undefined;
}

/**
 * Windows says in the user's language whether it waited in vain or could not send ("General failure."): the two lines have no shape, but
 * waiting takes its time. It sends once a second, and each silent echo is waited for.
 */
export function refusedAtOnce(tookMs: number, echoes: number, timeoutMs: number): boolean {
  return tookMs < (echoes - 1) * 1000 + 0.6 * timeoutMs;
}

/** `asked`: echoes that were to be sent, where the program printed no count. */
function icmpSighting(reading: PingReading, asked: number, result: ProgramResult): IcmpSighting {
  const sent = Math.max(reading.sent ?? asked, reading.rttsMs.length);
  if (reading.rttsMs.length > 0) {
    const rttMs = round(Math.min(...reading.rttsMs));
    return { outcome: 'replied', rttMs, sent, received: reading.rttsMs.length };
  }
  if (reading.otherAddress !== undefined) {
    return {
      outcome: 'unreachable',
      cause: 'wrong-source',
      detail: 'the echo was answered from another address',
      by: reading.otherAddress,
    };
  }
  if (reading.unreachable !== undefined) {
    const { cause, detail, by } = reading.unreachable;
    return {
      outcome: 'unreachable',
      cause,
      detail: cleanText(detail, 120),
      ...(by === undefined ? {} : { by }),
    };
  }
  if (reading.fault !== undefined) return { outcome: 'not-run', ...FAULTS[reading.fault] };
  if (reading.sent === undefined && result.ran && !result.timedOut) {
    const said = cleanText(result.stderr || result.stdout, 120);
    return {
      outcome: 'not-run',
      cause: 'local-failure',
      reason: `ping ended without a count${said === '' ? '' : `: ${said}`}`,
    };
  }
  return { outcome: 'no-reply', sent, cause: 'timeout' };
}

const FAULTS: Readonly<Record<PingFault, Omit<NotRun, 'outcome'>>> = {
  'not-permitted': {
    cause: 'not-permitted',
    reason: 'ping is installed but may not send echoes',
    mend: 'run as administrator, or as root: setcap cap_net_raw+ep on the ping program',
  },
  'send-forbidden': {
    cause: 'not-permitted',
    reason: 'a local packet filter forbids the echo',
    mend: 'let ICMP echo out through the local packet filter',
  },
  'send-failed': { cause: 'local-failure', reason: 'the system could not send the echo' },
  'bad-option': { cause: 'not-supported', reason: 'this ping does not know the options it needs' },
  'bad-address': { cause: 'not-supported', reason: 'this ping did not take the address' },
  'no-family': {
    cause: 'not-supported',
    reason: 'this ping or this system cannot use that address family',
  },
};

function notStarted(result: ProgramResult): IcmpSighting {
  if (result.ran) return { outcome: 'not-run', cause: 'local-failure', reason: 'ping printed nothing' };
  switch (result.why) {
    case 'not-found':
      return {
        outcome: 'not-run',
        cause: 'not-installed',
        reason: 'there is no ping program on this laptop',
        mend: 'install ping (Debian: apt install iputils-ping)',
      };
    case 'not-permitted':
      return { outcome: 'not-run', cause: 'not-permitted', reason: 'this user may not run the ping program' };
    case 'failed':
      return {
        outcome: 'not-run',
        cause: isFull(result.detail) ? 'laptop-full' : 'local-failure',
        reason: `ping could not be run: ${cleanText(result.detail, 80)}`,
      };
  }
}
