/** Several values in one cell, joined by `+`: the members of an aggregated link (DESIGN 3). */
import { bad, type Reading, read } from '../reading.js';

/** Members of one link. IEEE 802.1AX sets no limit; no equipment of this kind takes more (common practice, no source). */
const MEMBERS_LIMIT = 16;

/** `sw-a`, `sw-a+sw-b`; each member by the reader of one. */
export function joined<T>(reader: (text: string) => Reading<T>, what: string) {
  return (text: string): Reading<readonly T[]> => {
    const parts = text.split('+').map((part) => part.trim());
    if (parts.length > MEMBERS_LIMIT) return bad(`at most ${MEMBERS_LIMIT} members joined by +`);
    const members: T[] = [];
    for (const part of parts) {
      if (part === '') return bad(`${what}, several joined by +, with nothing left out`);
      const reading = reader(part);
      if (!reading.ok) return reading;
      members.push(reading.value);
    }
    return read(members);
  };
}
