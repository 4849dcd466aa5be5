/**
 * Where the one file that people carry starts. Reading all of it takes Node four times as long as its own start; the help needs little.
 * So the file has that little as code and all of the program as a text beside it, read where a command is asked for.
 */
import { asksForCommand } from '../cli/commands.js';
import { main } from '../cli/main.js';
import { PARTS, partWord } from '../system/own-program.js';
import { forAShortRun } from '../system/short-run.js';

/** Put in by the bundler: the least Node that package.json allows, and what reads the text. */
declare const MATCHMARK_LEAST_NODE: string;
declare function matchmarkWhole(): typeof import('./whole.js');

async function start(argv: readonly string[]): Promise<void> {
  if (process.versions.node.localeCompare(MATCHMARK_LEAST_NODE, 'en', { numeric: true }) < 0) {
    process.stderr.write(
      `matchmark: Node ${process.versions.node} is too old, it needs ${MATCHMARK_LEAST_NODE} or newer.\n  Take a folder of the release that has its own Node inside, or unpack a newer Node; no rights are needed for that.\n`,
    );
    process.exitCode = 2;
    return;
  }
  forAShortRun();
  if (PARTS.some((part) => argv[0] === partWord(part))) {
    await matchmarkWhole().startPart(argv);
  } else {
    process.exitCode = await (asksForCommand(argv) ? matchmarkWhole().main : main)(argv);
  }
}

void start(process.argv.slice(2));
