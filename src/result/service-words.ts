/** What became of a service, in the fewest words; the evidence has the rest. */
import type { ServiceState } from '../facts/service-state.js';

const WORDS: Readonly<Partial<Record<ServiceState['state'], string>>> = {
  proven: 'answers',
  open: 'answers',
  refused: 'refuses',
  'snmp-refused': 'refuses',
  silent: 'silent',
  'snmp-silent': 'silent',
  speechless: 'says nothing',
  other: 'another protocol',
  'snmp-rejected': 'credential rejected',
};

/** Undefined where nobody could tell: not asked, or asked in vain. `state` is also the cause of a fact about a service. */
export function serviceWords(state: string): string | undefined {
  return Object.hasOwn(WORDS, state) ? WORDS[state as ServiceState['state']] : undefined;
}
