/** `follow` on the hall of sixty-four endpoints, on a terminal of its own, and how long a change takes to show there. */
import path from 'node:path';
import type { HallSite } from './hall-site.js';
import { PROJECT } from './lab.js';
import { processorSeconds } from './processor.js';
import type { Running } from './run.js';

/** With the default rest between two looks, unless `more` says otherwise. `script` (util-linux) gives it a terminal, so that the screen is drawn too. */
export async function followHall(
  site: HallSite,
  env: Record<string, string> = {},
  more: readonly string[] = [],
): Promise<Running> {
  const line = [process.execPath, path.join(PROJECT, 'bin/matchmark.js'), 'follow', site.planFile, ...more];
  const out = path.join(site.lab.folder, `followed-${Math.random().toString(36).slice(2)}`);
  const running = site.laptop.start('script', ['-qfec', [...line, '--out', out].join(' '), '/dev/null'], {
    env,
  });
  await running.waitFor(/look 1, /, 60_000);
  return running;
}

/** Share of one core that it and all that it starts take over so many seconds. */
export async function shareOfACore(running: Running, seconds: number): Promise<number> {
  const pid = running.child.pid ?? 0;
  const before = processorSeconds(pid);
  const beganMs = performance.now();
  await new Promise((resolve) => setTimeout(resolve, seconds * 1000));
  return (processorSeconds(pid) - before) / ((performance.now() - beganMs) / 1000);
}

/** Pulls the cable of the port with this place in the list and plugs it in again; how long each took to be told, in milliseconds. */
export async function pullAndPlug(
  { present }: HallSite,
  running: Running,
  at: number,
): Promise<{ readonly goneMs: number; readonly backMs: number }> {
  const one = present[at % present.length];
  if (one === undefined) throw new Error('nobody is there');
  const told = async (up: boolean, words: string): Promise<number> => {
    const from = running.output().length;
    const beganMs = performance.now();
    await one.host.linkUp(one.port, up);
    while (!running.output().slice(from).includes(`${one.id}: ${words}`)) {
      if (performance.now() - beganMs > 30_000) throw new Error(`${one.id} ${words}: never told`);
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    return performance.now() - beganMs;
  };
  const goneMs = await told(false, 'no longer answers');
  const backMs = await told(true, 'now answers');
  return { goneMs, backMs };
}
