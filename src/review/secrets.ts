import { type Finding, finding } from '../findings/index.js';
import type { SnmpCredential } from '../plan/model.js';
import { type PlanView, rowsOf } from './plan-view.js';

const KEYS = ['community', 'authKey', 'privKey'] as const satisfies readonly (keyof SnmpCredential)[];

/** Secrets that stand in the plan. Only where a secret comes from is looked at, never the secret. */
export function literalSecrets(view: PlanView): Finding[] {
  return Object.values(view.plan.snmp).flatMap((credential) => {
    const keys = KEYS.filter((key) => credential[key]?.kind === 'literal');
    if (keys.length === 0) return [];
    const { name, at } = credential;
    return [
      finding(
        'literal-secret',
        name,
        { credential: name, keys },
        { evidence: rowsOf([{ name, value: keys.join(', '), at }]) },
      ),
    ];
  });
}
