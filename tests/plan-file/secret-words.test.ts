/** Columns and keys that hold secrets are dropped, and it is said (issue 13.3). The words are common practice, no source. */
import { expect, test } from 'vitest';
import { namesSecret, withoutSecrets } from '../../src/plan-file/secret-words.js';
import { lines, load } from './helpers.js';

test.each([
  ['Password'],
  ['admin password'],
  ['adminPassword2'],
  ['PW'],
  ['Passwort (BMC)'],
  ['Kennwort'],
  ['Mot de passe'],
  ['MDP'],
  ['Contraseña'],
  ['Clave'],
  ['Senha'],
  ['Hasło'],
  ['Wachtwoord'],
  ['Lösenord'],
  ['Heslo'],
  ['пароль администратора'],
  ['管理员密码'],
  ['パスワード'],
  ['SNMP-Community'],
  ['snmpCommunityString'],
  ['RO community'],
  ['API key'],
  ['Schlüssel'],
  ['Clé'],
  ['PIN'],
  ['PUK'],
  ['Login'],
  ['Zugangsdaten'],
  ['shared secret'],
  ['token'],
  ['P/W'],
  ['IPMI P. W.'],
  ['SNMPv3 auth'],
  ['rootpw'],
  ['ipmipass'],
  ['bmcpwd2'],
  ['clientsecret'],
])('%s names a secret', (header) => {
  expect(namesSecret(header)).toBe(true);
});

test.each([
  ['cable number'],
  ['Compass'],
  ['keyboard'],
  ['Keystone jack'],
  ['Passage'],
  ['pinned to'],
  ['spin'],
  ['subnet mask'],
  ['gateway'],
  ['up/work'],
  ['author'],
  ['p/n'],
  ['adapter'],
  ['monkey'],
  ['bypass'],
  ['Spindle'],
  ['Raum'],
])('%s does not', (header) => {
  expect(namesSecret(header)).toBe(false);
});

test.each([
  ['rack R3, password: hunter-7 please', 'rack R3, password: (left out) please'],
  ['PIN=4711', 'PIN=(left out)'],
  ['login admin/hunter-7', 'login (left out)'],
  ['Kennwort: "a b c" ok', 'Kennwort: (left out) ok'],
  ['login with the customer', 'login with the customer'],
  ['height: 42', 'height: 42'],
])('%j is kept as %j', (text, kept) => {
  expect(withoutSecrets(text)).toBe(kept);
});

const SECRET = 'hunter-secret-7';

test.each([
  [
    'a CSV',
    'list.csv',
    { 'list.csv': `device,port,address,Mot de passe,note\nv,m,192.0.2.1/24,${SECRET},password: ${SECRET}\n` },
  ],
  [
    'an inline list',
    'plan.yaml',
    {
      'plan.yaml': `plan: 1\nendpoints:\n  - { device: v, port: m, address: 192.0.2.1/24, admin password: ${SECRET}, remark: "pin: ${SECRET}" }\n`,
    },
  ],
])('%s: the model does not hold it, and the place is named', async (_, name, files) => {
  const loaded = await load(files, name);
  expect(loaded.ok).toBe(true);
  expect(JSON.stringify(loaded)).not.toContain(SECRET);
  expect(lines(loaded.issues).join('\n')).toMatch(/looks like the place of a secret/);
});
