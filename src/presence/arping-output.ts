/** What the three arping programs print for an answer -> who answered. */
import { parseMac } from '../plan/mac.js';

export type ArpingFlavour = 'iputils' | 'common' | 'busybox';

export interface ArpingAnswer {
  readonly mac: string;
  /** Round trip as the program measured it. */
  readonly afterMs?: number | undefined;
}

/** iputils and busybox: `Unicast reply from 192.0.2.45 [00:00:5E:00:53:0C]  0.567ms`, or `Broadcast reply from`; iputils adds `for ADDRESS` where somebody else was asked. */
const REPLY =
  /^(?:Unicast|Broadcast) reply from ([\d.]+) (?:for [\d.]+ )?(?:\(.*?\) )?\[([0-9a-f:]{17})\]\s+([\d.]+)\s?ms/i;
/** The third kind: `42 bytes from 00:00:5e:00:53:0c (192.0.2.45): index=0 time=8.543 usec`. */
const BYTES = /^\d+ bytes from ([0-9a-f:]{17}) \(([\d.]+)\): index=\d+ time=([\d.]+) (usec|msec|sec)/i;
const IN_MS: Readonly<Record<string, number>> = { usec: 0.001, msec: 1, sec: 1000 };

/** Every answer for this address, in order. Lines that say anything else are passed over. */
export function parseArpingOutput(text: string, address: string): ArpingAnswer[] {
  return text.split(/\r?\n/).flatMap((line) => {
    const [, replied, replyMac = '', replyMs] = REPLY.exec(line) ?? [];
    if (replied === address) return answer(replyMac, Number(replyMs));
    const [, mac = '', from, time, unit = ''] = BYTES.exec(line) ?? [];
    return from === address ? answer(mac, Number(time) * (IN_MS[unit.toLowerCase()] ?? 1)) : [];
  });
}

function answer(macText: string, afterMs: number): ArpingAnswer[] {
  const mac = parseMac(macText);
  return mac === undefined ? [] : [{ mac, ...(Number.isFinite(afterMs) ? { afterMs } : {}) }];
}

/** Arguments for `questions` broadcast questions, one a second, all answers listed. */
export function arpingArguments(
  flavour: ArpingFlavour,
  port: string,
  address: string,
  questions: number,
): string[] {
  if (flavour === 'common') return ['-c', String(questions), '-i', port, address];
  // Without -c: with it, iputils leaves at the count of answers and a late second one is lost.
  return ['-b', '-w', String(questions), '-I', port, address];
}

/** RFC 5227 §2.1.1 probe: sender 0.0.0.0, so that nobody's table learns anything. For the laptop's own address. */
export function arpingProbeArguments(
  flavour: ArpingFlavour,
  port: string,
  address: string,
  questions = 2,
): string[] {
  const count = String(questions);
  if (flavour === 'common') return ['-0', '-c', count, '-i', port, address];
  return ['-D', '-w', count, '-I', port, address];
}

export function flavourOfArping(versionText: string): ArpingFlavour | undefined {
  if (/iputils/i.test(versionText)) return 'iputils';
  if (/busybox/i.test(versionText)) return 'busybox';
  return /^ARPing \d/m.test(versionText) ? 'common' : undefined;
}
