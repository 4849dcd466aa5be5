/** Where the one file that people carry starts: the program, or a part of it (`system/own-program.ts`). */
import { main } from '../cli/main.js';
import { type Part, partWord } from '../system/own-program.js';

/** Put in by the bundler: the least Node that package.json allows. */
declare const MATCHMARK_LEAST_NODE: number;

const PART_FILES: Readonly<Record<Part, () => Promise<unknown>>> = {
  'program-helper': () => import('../system/program-helper.js'),
};

async function start(argv: readonly string[]): Promise<void> {
  if (Number.parseInt(process.versions.node, 10) < MATCHMARK_LEAST_NODE) {
    process.stderr.write(
      `matchmark: Node ${process.versions.node} is too old, it needs ${MATCHMARK_LEAST_NODE} or newer.\n  Take a folder of the release that has its own Node inside, or unpack a newer Node; no rights are needed for that.\n`,
    );
    process.exitCode = 2;
    return;
  }
  for (const [part, load] of Object.entries(PART_FILES))
    if (argv[0] === partWord(part as Part)) {
      await load();
      return;
    }
  process.exitCode = await main(argv);
}

void start(process.argv.slice(2));
