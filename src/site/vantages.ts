/** The places that were to be looked from, and could not be. */
import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';

export function judgeFailedVantages({ evidence }: View): Finding[] {
  return evidence.flatMap(({ failed, vantage, startedAt }) =>
    failed === undefined
      ? []
      : [
          finding(
            'vantage-failed',
            vantage.name,
            { vantage: vantage.name, place: vantage.from ?? vantage.name, reason: failed.reason },
            { evidence: [{ who: vantage.name, at: startedAt, text: failed.reason, told: true }] },
          ),
        ],
  );
}
