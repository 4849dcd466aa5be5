/** Ports of a switch: one name, or a run of them that differ in their last number. */
import { bad, type Reading, read } from '../reading.js';

/** No switch of this kind has more (common practice, no source). */
const LONGEST_RUN = 1_000;

/** `7`, `1/1-1/24`, `1/1-24`, `port1-port8`. A name that looks like no run is one port. */
export function readPortRun(text: string): Reading<readonly string[]> {
  const [, before = '', first = '', last = ''] = /^(.*?)(\d+)\s*-\s*(?:\1)?(\d+)$/.exec(text) ?? [];
  if (last === '') return read([text]);
  const from = Number(first);
  const count = Number(last) - from + 1;
  if (count < 1 || count > LONGEST_RUN)
    return bad(`a run upward of at most ${LONGEST_RUN} ports, as 1/1-1/24`);
  return read(Array.from({ length: count }, (_, index) => `${before}${from + index}`));
}
