#!/usr/bin/env node
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const main = fileURLToPath(new URL('../dist/main.js', import.meta.url));
const { engines } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8'));
const least = engines.node.replace('>=', '');

if (process.versions.node.localeCompare(least, 'en', { numeric: true }) < 0) {
  process.stderr.write(
    `matchmark: Node ${process.versions.node} is too old, it needs ${least} or newer.\n  Unpack a newer Node beside this folder and start it with that one; no rights are needed for that.\n`,
  );
  process.exitCode = 2;
} else if (!existsSync(main)) {
  process.stderr.write(
    'matchmark: not built yet. Run "npm ci && npm run build" in the project folder first.\n',
  );
  process.exitCode = 2;
} else {
  const { main: run } = await import('../dist/main.js');
  process.exitCode = await run(process.argv.slice(2));
}
