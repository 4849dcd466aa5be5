/** `npm run build`: dist/, in which a command's code and packages lie in few files, each loaded when it is needed. */
import { rmSync } from 'node:fs';
import path from 'node:path';
import { build } from 'esbuild';
import { ROOT, SETTINGS } from './bundle.js';

rmSync(path.join(ROOT, 'dist'), { recursive: true, force: true });
await build({
  ...SETTINGS,
  // The programs that are started by file name; all else is reached from them.
  entryPoints: ['src/cli/main.ts', 'src/system/program-helper.ts'],
  entryNames: '[name]',
  format: 'esm',
  splitting: true,
  outdir: 'dist',
  banner: {
    js: "import { createRequire as requireFrom } from 'node:module';const require = requireFrom(import.meta.url);",
  },
});
