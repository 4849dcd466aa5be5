#!/usr/bin/env node
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const main = fileURLToPath(new URL('../dist/cli/main.js', import.meta.url));
if (!existsSync(main)) {
  process.stderr.write(
    'matchmark: not built yet. Run "npm ci && npm run build" in the project folder first.\n',
  );
  process.exitCode = 2;
} else {
  const { main: run } = await import('../dist/cli/main.js');
  process.exitCode = await run(process.argv.slice(2));
}
