/**
 * What one vantage saw. Plain JSON-serialisable values: probes write them, the judge reads them, matrix.json keeps them. The types come
 * from the schemas that read them back. Silence, refusal and "could not ask" are values here, never exceptions. Times are ISO 8601 UTC text.
 */
export type * from './answers.js';
export type * from './cause.js';
export type * from './evidence.js';
export type * from './identity.js';
export type * from './presence.js';
export type * from './tables.js';
export type * from './vantage.js';
