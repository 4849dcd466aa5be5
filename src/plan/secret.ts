import { inspect } from 'node:util';

/** What takes the place of a secret wherever it would be shown. */
const HIDDEN = '(hidden)';
/** A shorter one would be found in every other word. Characters. */
const WIPED_FROM = 4;

/** Every secret that was read in this process: read once, kept here, given out by `reveal` alone. */
const values = new Set<string>();

/** A secret that cannot be printed, serialised or logged by accident; only `reveal()` gives it out. */
export class Secret {
  readonly #value: string;

  constructor(value: string) {
    this.#value = value;
    if (value.length >= WIPED_FROM) values.add(value);
  }

  reveal(): string {
    return this.#value;
  }

  toString(): string {
    return HIDDEN;
  }

  toJSON(): string {
    return HIDDEN;
  }

  [inspect.custom](): string {
    return HIDDEN;
  }
}

/** The last net below messages: whatever a library or a system put into its text, no secret is in it. */
export function wipeSecrets(text: string): string {
  let wiped = text;
  // The longest first, in case one holds another.
  for (const value of [...values].sort((a, b) => b.length - a.length))
    if (wiped.includes(value)) wiped = wiped.replaceAll(value, HIDDEN);
  return wiped;
}

/** A shorter one may be a name of the site: in what a device says of itself it stands rightly. Characters. */
const WIPED_FROM_DEVICES = 8;

/**
 * What a device said, without the secrets that it was asked with: who answers at a planned address may send back the community that it got,
 * and the result is handed over. The same object where there are none.
 */
export function withoutOurSecrets<T>(said: T): T {
  const long = [...values].filter(({ length }) => length >= WIPED_FROM_DEVICES);
  if (long.length === 0) return said;
  const text = JSON.stringify(said);
  return long.some((value) => text.includes(JSON.stringify(value).slice(1, -1))) ? wiped(said, long) : said;
}

function wiped<T>(value: T, long: readonly string[]): T {
  if (typeof value === 'string')
    return (long.some((one) => value.includes(one)) ? wipeSecrets(value) : value) as T;
  if (Array.isArray(value)) return value.map((one) => wiped(one, long)) as T;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, wiped(one, long)])) as T;
}

/** For the next run of the same process. */
export function forgetSecrets(): void {
  values.clear();
}

/** Where a secret comes from. Resolved only at the moment a probe needs it. */
export type SecretRef =
  | { readonly kind: 'env'; readonly name: string }
  | { readonly kind: 'file'; readonly path: string }
  | { readonly kind: 'literal'; readonly value: Secret };

/** Longest secret, in characters: SNMP passphrases and communities are a line that somebody types (common practice, no source). */
export const SECRET_LIMIT = 256;

/** Why a text is no secret of ours, undefined where it is one. A whole file or a page of an environment is not. */
export function secretFault(
  text: string,
): 'empty' | 'several-lines' | 'not-printable' | 'too-long' | undefined {
  if (text === '') return 'empty';
  if (/[\n\r\u2028\u2029]/.test(text)) return 'several-lines';
  if (text.length > SECRET_LIMIT) return 'too-long';
  return /[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Cn}]/u.test(text) ? 'not-printable' : undefined;
}
