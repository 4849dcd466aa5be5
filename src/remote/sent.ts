/** What of the plan goes to another place: the plan without its secrets, and the credentials that its questions need. Pure. */
import type { Plan } from '../plan/model.js';
import type { Secret } from '../plan/secret.js';
import type { Credential } from '../run/probe-set.js';
import { questionsFor } from '../run/questions.js';
import type { SentCredential } from './messages.js';

/** What eyes look at, how others are reached and where the files lie is nobody's concern there. */
export function withoutSecrets(plan: Plan): Plan {
  return { ...plan, snmp: {}, observe: [], vantages: [], availability: [], files: [] };
}

const PARTS = ['community', 'authKey', 'privKey'] as const;

/** `known`: those whose secrets may go along. The others go by name and port alone, so that it is said what is missing there. */
export function sentCredentials(
  plan: Plan,
  known: ReadonlyMap<string, Credential>,
  only: readonly string[] | undefined,
): SentCredential[] {
  const needed = new Set(questionsFor(plan, { only }).map(({ snmp }) => snmp));
  return Object.values(plan.snmp)
    .filter(({ name }) => needed.has(name))
    .map(({ community: _community, authKey: _authKey, privKey: _privKey, ...credential }) => {
      const resolved = known.get(credential.name);
      if (resolved === undefined || 'missing' in resolved) return { credential, secrets: undefined };
      const secrets = PARTS.flatMap((part) => {
        const secret: Secret | undefined = resolved[part];
        return secret === undefined ? [] : [[part, secret.reveal()] as const];
      });
      return { credential, secrets: Object.fromEntries(secrets) };
    });
}
