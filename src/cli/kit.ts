import { hostname } from 'node:os';
import path from 'node:path';
import { gapsOf } from '../kit/gaps.js';
import { readVantage } from '../kit/read-vantage.js';
import { kitText } from '../kit/text.js';
import { listen } from '../presence/listen.js';
import { ownPortNotes } from '../run/own-port.js';
import { realSleep } from '../run/pace.js';
import type { Vantage } from '../sighting/types.js';
import { thisSystem } from '../system/this-system.js';
import { hasMac } from '../vantage/best-port.js';
import { type CommonOptions, EXIT, textStyle } from './common.js';
import { defineCommand } from './define-command.js';
import { prepareFolder, writeWhole } from './files.js';
import { secondsOf } from './seconds.js';
import { VERSION } from './version.js';

const EXAMPLES = `
Examples:
  matchmark kit          programs, rights, ports, and what each gap costs
  matchmark kit --json   the same for a program
  matchmark kit --listen 35
                         and which switch port this laptop is in: a switch says so every 30 s by LLDP
  sudo matchmark kit     what would change with administrator rights

Nothing is sent beyond this laptop and nothing is changed.
`;

interface KitOptions extends CommonOptions {
  readonly listen?: number;
}

/** `read` is for tests; the real one looks at this laptop. */
export const kitCommand = (
  read: (name: string) => Promise<Vantage> = (name) => readVantage(name, thisSystem()),
) =>
  defineCommand({
    name: 'kit',
    summary: 'what this laptop can do, and what each gap costs',
    description:
      'Shows programs, rights, network ports and own addresses, what cannot be proven, and what would fix it.',
    examples: EXAMPLES,
    shape: (command) =>
      command.option(
        '--listen <seconds>',
        'listen that long for the LLDP frames of the switch (needs a capture)',
        secondsOf,
      ),
    work: async (deps, options: KitOptions) => {
      const vantage = await read(options.vantage ?? hostname());
      const gaps = gapsOf(vantage, deps.platform);
      const neighbours =
        options.listen === undefined ? undefined : await listenFor(vantage, options.listen, deps.signal);
      const json = `${JSON.stringify({ format: 'matchmark.kit/1', version: VERSION, vantage, gaps, neighbours }, null, 1)}\n`;
      if (options.out !== undefined) {
        const folder = path.resolve(deps.cwd, options.out);
        await prepareFolder(folder);
        await writeWhole(path.join(folder, 'kit.json'), json);
      }
      if (options.json) deps.stdout.document(json);
      else deps.stdout.write(kitText(vantage, gaps, textStyle(deps.stdout, deps), neighbours));
      return EXIT.clean;
    },
  });

export const registerKit = kitCommand();

/** LLDP neighbours of the ports that are up, or the reasons why nothing could be heard. Ends early once every port has its neighbour. */
async function listenFor(vantage: Vantage, seconds: number, signal: AbortSignal): Promise<readonly string[]> {
  const { capture } = vantage.abilities;
  if (!capture.able) return [`Cannot listen: ${capture.reason}.`];
  const ports = vantage.interfaces.filter((port) => port.up && hasMac(port)).map(({ name }) => name);
  const now = (): number => performance.now();
  const listener = await listen(vantage, ports, { system: thisSystem(), clock: { now } }, signal);
  const until = now() + seconds * 1000;
  const told = (): number => new Set(listener.neighbours().map(({ localPort }) => localPort)).size;
  while (now() < until && told() < ports.length && !signal.aborted) await realSleep(100, signal);
  const said = [...ownPortNotes(listener.neighbours()), ...listener.notes()];
  await listener.stop();
  return said.length === 0 ? [`No switch said who it is within ${seconds} s.`] : said;
}
