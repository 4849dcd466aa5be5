/** Planned facts of hand-made results. Invented; the words of reasons are those of the test. */
import type { FactResult } from '../../src/matrix/matrix.js';

export function aFact(
  fact: FactResult['fact'],
  state: FactResult['state'],
  more: Partial<FactResult> = {},
): FactResult {
  return {
    fact,
    planned: '',
    measured: '',
    state,
    by: state === 'unproven' ? '' : 'measured',
    vantage: state === 'unproven' ? '' : 'bench',
    reason: '',
    ...more,
  };
}

/** `services('https:refused ssh snmp')`: each matches unless it says what was measured. */
export function serviceFacts(words: string, vantage = 'bench'): FactResult[] {
  return words.split(' ').map((word) => {
    const [service = '', measured] = word.split(':');
    return aFact('service', measured === undefined ? 'matches' : 'differs', {
      service,
      planned: service,
      measured: measured ?? 'proven',
      vantage,
      reason: measured === undefined ? '' : `${service} is ${measured}`,
    });
  });
}
