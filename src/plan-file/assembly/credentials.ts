/** SNMP credentials as written. Secrets are wrapped at once and appear in no message. */

import { posix, win32 } from 'node:path';
import type { Device, Endpoint, SnmpCredential, SourceRef } from '../../plan/model.js';
import { Secret, type SecretRef } from '../../plan/secret.js';
import { SNMP_PORT } from '../../plan/services.js';
import { nearestWord } from '../../text/nearest.js';
import type { Issues } from '../issues.js';
import type { WrittenCredential } from '../schema.js';
import { namesList } from './names.js';
import type { Locate } from './networks.js';

export function assembleCredentials(
  written: Readonly<Record<string, WrittenCredential>>,
  directory: string,
  locate: Locate,
  issues: Issues,
): Record<string, SnmpCredential> {
  const entries = Object.entries(written).map(([name, credential]): [string, SnmpCredential] => {
    const at = locate(['snmp', name]);
    const version = credential.version ?? (credential.user === undefined ? '2c' : '3');
    checkComplete(credential, version, at, issues);
    const secret = (text: string | undefined) =>
      text === undefined ? undefined : secretRef(text, directory);
    return [
      name,
      {
        name,
        version,
        port: credential.port ?? SNMP_PORT,
        community: secret(credential.community),
        user: credential.user,
        level: version === '3' ? (credential.level ?? impliedLevel(credential)) : undefined,
        auth: credential.auth,
        authKey: secret(credential.authKey),
        priv: credential.priv,
        privKey: secret(credential.privKey),
        at,
      },
    ];
  });
  return Object.fromEntries(entries);
}

/** `env:NAME`, `file:PATH` (from the plan's folder), else the secret itself. */
function secretRef(text: string, directory: string): SecretRef {
  const scheme = /^(env|file):\s*(\S.*)$/.exec(text);
  const rest = scheme?.[2];
  if (scheme?.[1] === 'env' && rest !== undefined) return { kind: 'env', name: rest };
  if (rest === undefined) return { kind: 'literal', value: new Secret(text) };
  const whole = posix.isAbsolute(rest) || win32.isAbsolute(rest);
  return { kind: 'file', path: whole || directory === '' ? rest : `${directory}/${rest}` };
}

/** The level that the keys given can serve (RFC 3414 §1.4.2 on the three levels). */
function impliedLevel(credential: WrittenCredential): SnmpCredential['level'] {
  if (credential.authKey === undefined) return 'noAuthNoPriv';
  return credential.privKey === undefined ? 'authNoPriv' : 'authPriv';
}

function checkComplete(credential: WrittenCredential, version: string, at: SourceRef, issues: Issues): void {
  const level = credential.level ?? impliedLevel(credential);
  const needed: (keyof WrittenCredential)[] = version === '3' ? ['user'] : ['community'];
  if (version === '3' && level !== 'noAuthNoPriv') needed.push('authKey');
  if (version === '3' && level === 'authPriv') needed.push('privKey');
  for (const key of needed.filter((one) => credential[one] === undefined))
    issues.error('missing-value', at, {
      expected: `the key "${key}", which SNMP version ${version} needs here`,
    });
}

/** Every `snmp` name has to stand under `snmp`. What stands there instead may be a community: it is quoted only if a name is near. */
export function checkCredentialNames(
  users: readonly (Device | Endpoint)[],
  names: readonly string[],
  placeOf: (user: Device | Endpoint) => SourceRef,
  issues: Issues,
): void {
  const said = new Set<string>();
  for (const user of users) {
    if (user.snmp === undefined || names.includes(user.snmp)) continue;
    // A whole column with one wrong name is one mistake.
    if (said.has(user.snmp)) continue;
    said.add(user.snmp);
    const nearest = nearestWord(user.snmp, names);
    const found = nearest === undefined ? undefined : user.snmp;
    issues.error('unknown-credential', placeOf(user), { found, expected: namesList(names), nearest });
  }
}
