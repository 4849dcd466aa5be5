import { hostname } from 'node:os';
import path from 'node:path';
import type { Command } from 'commander';
import { gapsOf } from '../kit/gaps.js';
import { kitText } from '../kit/text.js';
import type { Vantage } from '../sighting/types.js';
import { readVantage } from '../vantage/read.js';
import { systemDeps } from '../vantage/system.js';
import { action, type CliDeps, type CommonOptions, EXIT, textStyle, withCommonOptions } from './common.js';
import { prepareFolder, writeWhole } from './files.js';
import { VERSION } from './version.js';

const EXAMPLES = `
Examples:
  matchmark kit          programs, rights, ports, and what each gap costs
  matchmark kit --json   the same for a program
  sudo matchmark kit     what would change with administrator rights

Nothing is sent beyond this machine and nothing is changed.
`;

/** `read` is for tests; the real one looks at this machine. */
export function registerKit(
  program: Command,
  deps: CliDeps,
  setStatus: (status: number) => void,
  read: (name: string) => Promise<Vantage> = (name) => readVantage(name, systemDeps()),
): void {
  withCommonOptions(
    program
      .command('kit')
      .summary('what this laptop can do, and what each gap costs')
      .description(
        'Shows programs, rights, network ports and own addresses, what can not be proven, and the mend.',
      ),
  )
    .addHelpText('before', EXAMPLES.trimStart())
    .action(
      action(deps, setStatus, async (options: CommonOptions) => {
        const vantage = await read(options.vantage ?? hostname());
        const gaps = gapsOf(vantage, deps.platform);
        const json = `${JSON.stringify({ format: 'matchmark.kit/1', version: VERSION, vantage, gaps }, null, 1)}\n`;
        if (options.out !== undefined) {
          const folder = path.resolve(deps.cwd, options.out);
          await prepareFolder(folder);
          await writeWhole(path.join(folder, 'kit.json'), json);
        }
        if (options.json) deps.stdout.write(json);
        else deps.stdout.write(kitText(vantage, gaps, textStyle(deps.stdout, deps)));
        return EXIT.clean;
      }),
    );
}
