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
  let program;
  try {
    program = await import('../dist/main.js');
  } catch (error) {
    // Too few files may be open, a file of the folder is gone or cannot be read. Status 1 would say that a site has faults.
    process.stderr.write(
      `matchmark: a part of the program cannot be read: ${error instanceof Error ? error.message : error}\n  Let more files be open (ulimit -n 1024) or close other programs; else unpack the folder of the program anew.\n`,
    );
    process.exitCode = 3;
  }
  if (program !== undefined) {
    program.forAShortRun();
    process.exitCode = await program.main(process.argv.slice(2));
  }
}
