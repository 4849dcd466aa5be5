/** How much of the same a test does: `few` in CI, `all` by `npm run test:long` (vitest.config.ts says which). */
import { inject } from 'vitest';

declare module 'vitest' {
  interface ProvidedContext {
    readonly rounds: 'few' | 'all';
  }
}

export function rounds<Value>(few: Value, all: Value): Value {
  return inject('rounds') === 'all' ? all : few;
}
