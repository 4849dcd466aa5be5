/** From what the plan says about a credential to the credential itself, at the moment it is needed. */
import type { SnmpCredential } from '../plan/model.js';
import { SECRET_LIMIT, Secret, type SecretRef, secretFault } from '../plan/secret.js';
import type { ResolvedSnmp } from '../probe/types.js';

export interface SecretSources {
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Text of a file; rejects where it cannot be read. */
  readonly readFile: (path: string) => Promise<string>;
}

export interface MissingSecret {
  readonly missing: string;
}

const PARTS = ['community', 'authKey', 'privKey'] as const;

/** Says which variable or file is missing, never what stands in it. */
export async function resolveCredential(
  credential: SnmpCredential,
  sources: SecretSources,
): Promise<ResolvedSnmp | MissingSecret> {
  const secrets: { [Part in (typeof PARTS)[number]]?: Secret } = {};
  for (const part of PARTS) {
    const reference = credential[part];
    if (reference === undefined) continue;
    const secret = await readSecret(reference, sources);
    if (!(secret instanceof Secret)) return { missing: `credential ${credential.name}: ${secret.missing}` };
    secrets[part] = secret;
  }
  const { name, version, port, user, level, auth, priv } = credential;
  return { name, version, port, user, level, auth, priv, ...secrets };
}

async function readSecret(reference: SecretRef, sources: SecretSources): Promise<Secret | MissingSecret> {
  switch (reference.kind) {
    case 'literal':
      return checked(reference.value.reveal(), 'the secret in the plan');
    case 'env': {
      const value = sources.env[reference.name];
      if (value === undefined || value === '') {
        return { missing: `the environment variable ${reference.name} is not set` };
      }
      return checked(value, `the environment variable ${reference.name}`);
    }
    case 'file': {
      const text = await sources.readFile(reference.path).catch(() => undefined);
      if (text === undefined) return { missing: `the file ${reference.path} cannot be read` };
      return checked(text.replace(/^\ufeff/, '').replace(/\r?\n$/, ''), `the file ${reference.path}`);
    }
  }
}

const FAULTS: Readonly<Record<NonNullable<ReturnType<typeof secretFault>>, string>> = {
  empty: 'is empty',
  'several-lines': 'holds several lines, and a secret is one',
  'not-printable': 'holds characters that nobody can type',
  'too-long': `holds more than ${SECRET_LIMIT} characters`,
};

/** A secret goes over the network in clear (SNMP 1 and 2c): a whole file does not. */
function checked(value: string, what: string): Secret | MissingSecret {
  const fault = secretFault(value);
  return fault === undefined ? new Secret(value) : { missing: `${what} ${FAULTS[fault]}` };
}
