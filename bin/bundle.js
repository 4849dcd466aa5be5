/** How the sources become what runs: settings of esbuild that `build.js` and `release/one-file.js` share. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliCompressSync, constants } from 'node:zlib';
import { build } from 'esbuild';

export const ROOT = fileURLToPath(new URL('../', import.meta.url));

/** @type {{ name: string, version: string, license: string, engines: { node: string } }} */
export const PACKAGE = JSON.parse(readFileSync(path.join(ROOT, 'package.json'), 'utf8'));

/** Names stay whole, so that the stack of an error can be read. @type {import('esbuild').BuildOptions} */
export const SETTINGS = {
  absWorkingDir: ROOT,
  bundle: true,
  platform: 'node',
  target: `node${PACKAGE.engines.node.replace('>=', '')}`,
  minifySyntax: true,
  minifyWhitespace: true,
  // Licences stand in LICENSES.txt, whole.
  legalComments: 'none',
  logLevel: 'warning',
  metafile: true,
  define: { MATCHMARK_VERSION: JSON.stringify(PACKAGE.version) },
  plugins: [packedRegistry(), strictSnmpAgent(), oneLanguage(), packedAgent()],
};

/**
 * The registry of MAC prefixes: of each entry the name alone, packed (0.6 MB instead of 5.4, and a fifth of the time to read).
 * @returns {import('esbuild').Plugin}
 */
function packedRegistry() {
  return {
    name: 'packed-registry',
    setup(build) {
      build.onLoad({ filter: /[\\/]src[\\/]plan[\\/]registry\.ts$/ }, () => {
        /** @type {Record<string, string>} */
        const entries = createRequire(import.meta.url)('oui-data');
        const lines = Object.entries(entries).map(
          ([prefix, entry]) => `${prefix}\t${entry.split('\n', 1)[0]}`,
        );
        // The best quality takes four seconds for a twelfth less.
        const params = { [constants.BROTLI_PARAM_QUALITY]: 9 };
        const packed = brotliCompressSync(lines.join('\n'), { params }).toString('base64');
        const contents = `
          import { brotliDecompressSync } from 'node:zlib';
          const packed = '${packed}';
          export function loadRegistry() {
            const lines = brotliDecompressSync(Buffer.from(packed, 'base64')).toString().split('\\n');
            return new Map(lines.map((line) => line.split('\\t', 2)));
          }`;
        return { contents, loader: 'js' };
      });
    },
  };
}

/**
 * A bundle is strict code, in which a trap of a Proxy that does not return true throws; two of net-snmp's agent (3.29) return nothing.
 * Fails the build where the text is not as known, so that a newer version is looked at.
 * @returns {import('esbuild').Plugin}
 */
function strictSnmpAgent() {
  const traps = ['providersByOid[value.oid] = value;', 'delete target[key];'];
  return {
    name: 'strict-snmp-agent',
    setup(build) {
      build.onLoad({ filter: /[\\/]node_modules[\\/]net-snmp[\\/]index\.js$/ }, ({ path: file }) => {
        let contents = readFileSync(file, 'utf8');
        for (const last of traps) {
          const parts = contents.split(last);
          if (parts.length !== 2)
            throw new Error(`net-snmp: "${last}" stands there ${parts.length - 1} times, not once`);
          contents = parts.join(`${last} return true;`);
        }
        return { contents, loader: 'js' };
      });
    },
  };
}

/**
 * zod brings its messages in some fifty languages (0.3 MB, which each start would have to read); ours are English.
 * @returns {import('esbuild').Plugin}
 */
function oneLanguage() {
  return {
    name: 'one-language',
    setup(build) {
      build.onLoad({ filter: /[\\/]zod[\\/]v4[\\/]locales[\\/]index\.js$/ }, () => ({
        contents: "export { default as en } from './en.js';",
        loader: 'js',
      }));
    },
  };
}

/**
 * What runs at another place (`check --from`) is a program of its own, sent from memory: its text stands packed in ours, so that each form of
 * the program has it.
 * @returns {import('esbuild').Plugin}
 */
function packedAgent() {
  return {
    name: 'packed-agent',
    setup(building) {
      building.onLoad({ filter: /[\\/]src[\\/]remote[\\/]agent-text\.ts$/ }, async () => {
        const { outputFiles } = await build({
          ...SETTINGS,
          entryPoints: ['src/remote/agent.ts'],
          format: 'cjs',
          supported: { 'dynamic-import': false },
          define: { ...SETTINGS.define, 'import.meta.url': '"file:///"' },
          write: false,
        });
        const text = outputFiles?.[0]?.text;
        if (text === undefined) throw new Error('the agent does not become one file');
        const params = { [constants.BROTLI_PARAM_QUALITY]: 9 };
        const packed = brotliCompressSync(text, { params }).toString('base64');
        return { contents: `export const agentText = () => '${packed}';`, loader: 'js' };
      });
    },
  };
}
