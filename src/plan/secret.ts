import { inspect } from 'node:util';

/** A secret that cannot be printed, serialised or logged by accident; only `reveal()` gives it out. */
export class Secret {
  readonly #value: string;

  constructor(value: string) {
    this.#value = value;
  }

  reveal(): string {
    return this.#value;
  }

  toString(): string {
    return '(hidden)';
  }

  toJSON(): string {
    return '(hidden)';
  }

  [inspect.custom](): string {
    return '(hidden)';
  }
}

/** Where a secret comes from. Resolved only at the moment a probe needs it. */
export type SecretRef =
  | { readonly kind: 'env'; readonly name: string }
  | { readonly kind: 'file'; readonly path: string }
  | { readonly kind: 'literal'; readonly value: Secret };
