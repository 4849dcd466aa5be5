/** The whole program as one text: for an executable as it is, and for a Node that is there already with a head that makes it a module. */
import { brotliCompressSync, constants } from 'node:zlib';
import { build } from 'esbuild';
import { PACKAGE, SETTINGS } from '../bundle.js';

/** A module is strict code; so is the executable, that both behave alike. */
const HEAD = {
  executable: "'use strict';\nconst MATCHMARK_OWN_FILE = '';",
  module: [
    '#!/usr/bin/env node',
    "import { createRequire as matchmarkRequireFrom } from 'node:module';",
    "import { fileURLToPath as matchmarkPathOf } from 'node:url';",
    'const require = matchmarkRequireFrom(import.meta.url), module = { exports: {} };',
    'const MATCHMARK_OWN_FILE = matchmarkPathOf(import.meta.url);',
  ].join('\n'),
};

/**
 * Defines what `src/release/start.ts` reads all of the program with. Packed, since Node reads every letter of a file before it starts.
 * @param {string} whole
 */
function reader(whole) {
  // The best quality takes ten times as long for a tenth less.
  const packed = brotliCompressSync(whole, { params: { [constants.BROTLI_PARAM_QUALITY]: 9 } });
  return `
function matchmarkWhole() {
  const module = { exports: {} };
  const text = require('node:zlib').brotliDecompressSync(Buffer.from(matchmarkPacked, 'base64')).toString();
  const strict = "(function (require, module, MATCHMARK_OWN_FILE) {'use strict';" + text + '\\n})';
  const run = require('node:vm').runInThisContext(strict, { filename: 'matchmark' });
  run(require, module, MATCHMARK_OWN_FILE);
  return module.exports;
}
const matchmarkPacked = '${packed.toString('base64')}';
`;
}

/**
 * @returns {Promise<{ executable: string, module: string, packages: string[] }>} the two texts, and the folders in `node_modules` that
 * something came from
 */
export async function oneFile() {
  const whole = await bundled('src/release/whole.ts');
  const start = await bundled('src/release/start.ts', [commandsElsewhere]);
  const inside = whole.inputs.flatMap((file) => {
    const found = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(file.replaceAll('\\', '/'));
    return found?.[1] === undefined ? [] : [found[1]];
  });
  // The registry of MAC prefixes comes in packed, by a plugin, which esbuild does not count.
  const packages = [...new Set([...inside, 'node_modules/oui-data'])].sort();
  const text = `${reader(whole.text)}${start.text}`;
  return { executable: `${HEAD.executable}${text}`, module: `${HEAD.module}${text}`, packages };
}

/** The start never loads a command itself. @type {import('esbuild').Plugin} */
const commandsElsewhere = {
  name: 'commands-elsewhere',
  setup(building) {
    building.onResolve({ filter: /^\./ }, ({ kind, path }) =>
      kind === 'dynamic-import' ? { path, external: true } : undefined,
    );
  },
};

/**
 * @param {string} entry
 * @param {import('esbuild').Plugin[]} plugins
 * @returns {Promise<{ text: string, inputs: string[] }>}
 */
async function bundled(entry, plugins = []) {
  const { outputFiles, metafile } = await build({
    ...SETTINGS,
    plugins: [...plugins, ...(SETTINGS.plugins ?? [])],
    entryPoints: [entry],
    // A package of CommonJS is then loaded where it is first needed, and so are Node's own modules.
    format: 'cjs',
    // Inside an executable `import()` finds nothing.
    supported: { 'dynamic-import': false },
    define: {
      ...SETTINGS.define,
      MATCHMARK_LEAST_NODE: JSON.stringify(PACKAGE.engines.node.replace('>=', '')),
      // Only asked for where there are files beside this one.
      'import.meta.url': '"file:///"',
    },
    write: false,
  });
  const text = outputFiles?.[0]?.text;
  if (text === undefined || outputFiles?.length !== 1) throw new Error(`${entry} does not become one file`);
  return { text, inputs: Object.keys(metafile?.inputs ?? {}) };
}
