/** What a decoder gives: a value, or why not and where. Decoders never throw on what a device or a program said. */
export interface Refusal {
  readonly ok: false;
  /** truncated: more bytes were promised than are there; malformed: no sender that keeps the standard writes this; unsupported: legal, but not read here. */
  readonly why: 'truncated' | 'malformed' | 'unsupported';
  /** Offset of the offending byte (or character), from the start of what was given. */
  readonly at: number;
  readonly detail: string;
}

export type Decoded<T> = { readonly ok: true; readonly value: T } | Refusal;

export function decoded<T>(value: T): Decoded<T> {
  return { ok: true, value };
}

export function refuse(why: Refusal['why'], at: number, detail: string): Refusal {
  return { ok: false, why, at, detail };
}

/** The refusal of an inner part, told with its place in the outer one. */
export function shifted(refusal: Refusal, by: number): Refusal {
  return { ...refusal, at: refusal.at + by };
}
