/** Why an answer did not come is a name from one list (src/sighting/cause.ts); `unknown` is what older results read as, and nothing makes it. */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const SRC = fileURLToPath(new URL('../../src/', import.meta.url));
const files = readdirSync(SRC, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => ({
    name: name.split(path.sep).join('/'),
    text: readFileSync(path.join(SRC, name), 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, ''),
  }));

it('nothing makes the cause "unknown"', () => {
  const made = files
    .filter(({ name }) => name !== 'sighting/cause.ts')
    .filter(({ text }) => /\bcause\w*\??['"]?\s*(?::|=|\?\?=?)[^;,})\n]*'unknown'/i.test(text));
  expect(made.map(({ name }) => name)).toEqual([]);
});

/** Folders whose outcomes are what a device or this laptop said: there an outcome that is no success always says why. */
const ASKING = /^(probe|snmp|wire\/iscsi)\//;

it('every outcome that is no success has its cause beside it', () => {
  const bare = files
    .filter(({ name }) => ASKING.test(name))
    .flatMap(({ name, text }) =>
      [
        ...text.matchAll(
          /\{[^{}]*\boutcome: '(?:no-reply|refused|unreachable|rejected|garbage|not-iscsi|half-open|not-run|redirected|authentication-required)'[^{}]*\}/g,
        ),
      ]
        .map(([object]) => object)
        // Types list outcomes, too; `why` and spreads carry the cause along.
        .filter((object) => !/\bcause\b|\breadonly\b|\.\.\.(?:why|refusal|FAULTS)/.test(object))
        .map((object) => `${name}: ${object.replace(/\s+/g, ' ')}`),
    );
  expect(bare).toEqual([]);
});
