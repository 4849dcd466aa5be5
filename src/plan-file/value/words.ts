/** Written words of a closed set, MAC addresses and services. */
import { parseMac } from '../../plan/mac.js';
import { MEDIA, type Media, type PlannedService, ROLES, type Role } from '../../plan/model.js';
import { parseService, SERVICES } from '../../plan/services.js';
import { parseWwpn } from '../../plan/wwpn.js';
import { nearestWord } from '../../text/nearest.js';
import { bad, type Reading, read, twoMeanings } from '../reading.js';

/** A word of the set, without case; `spellings` are other ways to write one of them. */
export function oneOf<const T extends string>(
  words: readonly T[],
  spellings: Readonly<Record<string, NoInfer<T>>> = {},
) {
  const known = new Map<string, T>([
    ...Object.entries(spellings),
    ...words.map((word): [string, T] => [word.toLowerCase(), word]),
  ]);
  return (text: string): Reading<T> => {
    const word = known.get(text.toLowerCase());
    if (word !== undefined) return read(word);
    const near = nearestWord(text, known.keys());
    return bad(listed(words), near === undefined ? undefined : known.get(near));
  };
}

export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;
}

export const readRole: (text: string) => Reading<Role> = oneOf(ROLES, {
  mgmt: 'management',
  mgt: 'management',
});

export const readMedia: (text: string) => Reading<Media> = oneOf(MEDIA, {
  fiber: 'fibre',
  'fibre channel': 'fc',
  'fiber channel': 'fc',
  fibrechannel: 'fc',
});

export const readYesNo: (text: string) => Reading<boolean> = (text) => {
  const word = text.toLowerCase();
  if (['yes', 'y', 'true', '1', 'x', '\u2713', '\u2714'].includes(word)) return read(true);
  if (['no', 'n', 'false', '0'].includes(word)) return read(false);
  return bad('yes or no', nearestWord(text, ['yes', 'no', 'true', 'false']));
};

export function readMacAddress(text: string): Reading<string> {
  const mac = parseMac(text.replace(/^mac[:= ]\s*/i, ''));
  return mac === undefined ? bad('a MAC address as 00:00:5e:00:53:01') : read(mac);
}

export function readWwpn(text: string): Reading<string> {
  const wwpn = parseWwpn(text);
  return wwpn === undefined
    ? bad('a Fibre Channel port name of 16 hex digits as 10:00:00:00:5e:00:53:01')
    : read(wwpn);
}

/** The first one to six octets of a MAC address, in any of its notations. */
export function readMacPrefix(text: string): Reading<string> {
  const hex = text.replace(/[:.-]/g, '').toLowerCase();
  const wellFormed =
    /^(?:[0-9a-f]{2}){1,6}$/.test(hex) && /^[0-9a-f]+(?:([:.-])[0-9a-f]+(?:\1[0-9a-f]+)*)?$/i.test(text);
  return wellFormed ? read((hex.match(/../g) ?? []).join(':')) : bad('one to six octets as 00:00:5e');
}

/** Names in use that the IANA registry does not have, and the registered name of what people mean by them. */
const SUGGESTED: Readonly<Record<string, string>> = {
  smb: 'microsoft-ds',
  cifs: 'microsoft-ds',
  dns: 'domain',
  rpcbind: 'sunrpc',
  portmap: 'sunrpc',
  portmapper: 'sunrpc',
  ipmi: 'asf-rmcp',
  web: 'https',
  nvmeof: 'nvme',
  'nvme-of': 'nvme',
  'nvme-tcp': 'nvme',
  'iscsi-san': 'iscsi-target',
  netconf: 'netconf-ssh',
};
const SERVICE_NAMES = SERVICES.map((service) => service.name);

/** Separated by blanks; commas, semicolons and plus signs do as well. The same service twice counts once. */
export function readServices(text: string): Reading<readonly PlannedService[]> {
  const found = new Map<string, PlannedService>();
  const words = text.split(/[\s,;+]+/).filter((part) => part !== '');
  for (const word of words) {
    const reading = readService(word, words.length === 1);
    if (!reading.ok) return reading;
    found.set(`${reading.value.name}:${reading.value.port}`, reading.value);
  }
  return read([...found.values()]);
}

/** `alone`: the whole text is this word, which the error shows anyway. */
function readService(word: string, alone: boolean): Reading<PlannedService> {
  const turned = /^(\d{1,5})\/(tcp|udp)$/i.exec(word);
  const service = parseService(turned === null ? word : `${turned[2]}/${turned[1]}`);
  if (service !== undefined) return read(service);
  if (/^\d{1,5}$/.test(word)) return twoMeanings(`tcp/${word} or udp/${word}`);
  const expected = 'IANA service names as https or iscsi-target, with a port as https:8443, or tcp/8443';
  const [name = '', port] = word.toLowerCase().split(/[:/]/, 2);
  const near = /^(tcp|udp)$/.test(name) ? undefined : (SUGGESTED[name] ?? nearestWord(name, SERVICE_NAMES));
  const told = alone ? expected : `${expected}; ${JSON.stringify(word.slice(0, 40))} is none`;
  return bad(told, near === undefined ? undefined : port === undefined ? near : `${near}:${port}`);
}
