/** Words by which people call what must not be handed over, and what stands behind them in free text. Pure. */

/** Whole words of a header, in the usual languages of address lists. Case and accents do not count. */
const WORDS = new Set(
  [
    'password passwords passwd passcode passphrase passwort passworter kennwort kennworter pwd pw pass passwd',
    'contrasena contrasenya clave claves palabra-clave motdepasse mdp senha senhas haslo wachtwoord losenord adgangskode',
    'adgangskoder passord salasana parola heslo jelszo sifre lozinka geslo parool parole slaptazodis',
    'community communities communitystring rocommunity rwcommunity',
    'secret secrets geheim geheimnis secreto segreto segredo sekret',
    'key keys apikey privkey authkey privatekey psk sleutel schlussel cle cles chiave chiavi llave llaves chave nyckel nokkel nogle klucz',
    'pin pins puk tan token tokens otp totp',
    'auth authentication login logins logon signin anmeldung credential credentials creds zugangsdaten identifiants acceso accesso',
  ].flatMap((line) => line.split(' ')),
);
/** Scripts without blanks between words: anywhere in the header. */
const ANYWHERE = [
  'пароль',
  'ключ',
  '密码',
  '密碼',
  '口令',
  '密钥',
  'パスワード',
  '暗証',
  '비밀번호',
  '암호',
  'كلمة السر',
  'סיסמה',
  'κωδικός',
];
/** Words so long that they are found inside others: `snmpcommunity`, `adminpassword2`. */
const INSIDE = [
  'password',
  'passwort',
  'kennwort',
  'passphrase',
  'community',
  'contrasena',
  'motdepasse',
  'wachtwoord',
  'apikey',
  'authkey',
  'privkey',
  'secret',
  'credential',
  'passwd',
  'pwd',
];
/** Two words written as one: `rootpw`, `ipmipass`, `privpass`. */
const COMPOUND =
  /^(?:admin|auth|bmc|console|default|enable|initial|ipmi|local|mgmt|new|old|os|priv|root|service|snmp|ssh|svc|user|web|wifi)(?:pw|pass|pin|key)$/;
/** `P/W`, `P.W.` */
const PARTED = /(?:^|[^\p{L}])p[/.]\s?w(?:$|[^\p{L}])/iu;

/** `Admin password`, `adminPassword`, `SNMP-Community`, `Mot de passe`, `PIN`. */
export function namesSecret(header: string): boolean {
  if (PARTED.test(header) || ANYWHERE.some((word) => header.toLowerCase().includes(word))) return true;
  const plain = header
    .replace(/ß/g, 'ss')
    .replace(/ł/gi, 'l')
    .replace(/ø/gi, 'o')
    .replace(/ı/g, 'i')
    .normalize('NFD')
    .replace(/\p{M}/gu, '');
  const words = plain
    .replace(/(\p{Ll})(\p{Lu})/gu, '$1 $2')
    .toLowerCase()
    .split(/[^\p{L}]+/u);
  const joined = plain.toLowerCase().replace(/[^\p{L}]+/gu, '');
  return (
    words.some((word) => WORDS.has(word) || COMPOUND.test(word)) ||
    INSIDE.some((word) => joined.includes(word))
  );
}

/** `password: hunter7`, `PIN=1234`, `login admin/hunter7` in free text. */
const IN_TEXT = /([\p{L}_-]{2,30})(\s*[:=]\s*|\s+(?=\S*[/]\S))("[^"]*"|\S+)/gu;
const LEFT_OUT = '(left out)';

/** The text without what stands behind such a word; the same text where nothing does. */
export function withoutSecrets(text: string): string {
  return text.replace(IN_TEXT, (whole, word: string, between: string) =>
    namesSecret(word) ? `${word}${between}${LEFT_OUT}` : whole,
  );
}
