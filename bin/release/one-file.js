/** The whole program as one text: for an executable as it is, and for a Node that is there already with a head that makes it a module. */
import { build } from 'esbuild';
import { PACKAGE, SETTINGS } from '../bundle.js';

/** A module is strict code; so is the executable, that both behave alike. */
const HEAD = {
  executable: "'use strict';const MATCHMARK_OWN_FILE='';",
  module: [
    '#!/usr/bin/env node',
    "import { createRequire as matchmarkRequireFrom } from 'node:module';",
    "import { fileURLToPath as matchmarkPathOf } from 'node:url';",
    'const require = matchmarkRequireFrom(import.meta.url), module = { exports: {} };',
    'const MATCHMARK_OWN_FILE = matchmarkPathOf(import.meta.url);',
  ].join('\n'),
};

/**
 * @returns {Promise<{ executable: string, module: string, packages: string[] }>} the two texts, and the folders in `node_modules` that
 * something came from
 */
export async function oneFile() {
  const { outputFiles, metafile } = await build({
    ...SETTINGS,
    entryPoints: ['src/release/start.ts'],
    // A package of CommonJS is then loaded where it is first needed, and so are Node's own modules.
    format: 'cjs',
    // Inside an executable `import()` finds nothing.
    supported: { 'dynamic-import': false },
    define: {
      ...SETTINGS.define,
      MATCHMARK_LEAST_NODE: String(Number.parseInt(PACKAGE.engines.node.replace('>=', ''), 10)),
      // Only asked for where there are files beside this one.
      'import.meta.url': '"file:///"',
    },
    write: false,
  });
  const text = outputFiles?.[0]?.text;
  if (text === undefined || outputFiles?.length !== 1) throw new Error('the bundle is not one file');
  const inside = Object.keys(metafile?.inputs ?? {}).flatMap((file) => {
    const found = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(file.replaceAll('\\', '/'));
    return found?.[1] === undefined ? [] : [found[1]];
  });
  // The registry of MAC prefixes comes in packed, by a plugin, which esbuild does not count.
  const packages = [...new Set([...inside, 'node_modules/oui-data'])].sort();
  return { executable: `${HEAD.executable}\n${text}`, module: `${HEAD.module}\n${text}`, packages };
}
