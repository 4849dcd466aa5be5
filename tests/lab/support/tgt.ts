/** A real iSCSI target (tgt) on a lab host, with a control socket of its own so that no other tgtd is touched. */
import { rmSync } from 'node:fs';
import type { LabHost } from './lab.js';

let started = 0;

export interface Tgt {
  /** Opens one more portal. */
  addPortal(portal: string): Promise<void>;
  stop(): Promise<void>;
}

export async function startTgt(host: LabHost, target: string, portals: readonly string[]): Promise<Tgt> {
  const control = String(1000 + (process.pid % 600) * 30 + started++);
  const [first, ...others] = portals;
  const running = host.start('tgtd', ['-f', '-C', control, '--iscsi', `portal=${first}`]);
  const line = (...args: string[]) => ['-C', control, '--lld', 'iscsi', ...args];
  const admin = (...args: string[]) => host.must('tgtadm', line(...args));
  const until = Date.now() + 15_000;
  while ((await host.exec('tgtadm', ['-C', control, '--op', 'show', '--mode', 'sys'])).exitCode !== 0) {
    if (Date.now() > until) throw new Error(`tgtd does not start: ${running.output()}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  const addPortal = async (portal: string): Promise<void> => {
    await admin('--op', 'new', '--mode', 'portal', '--param', `portal=${portal}`);
  };
  for (const portal of others) await addPortal(portal);
  await admin('--op', 'new', '--mode', 'target', '--tid', '1', '-T', target);
  await admin('--op', 'bind', '--mode', 'target', '--tid', '1', '-I', 'ALL');
  return {
    addPortal,
    stop: async () => {
      await running.stop();
      for (const end of ['', '.lock']) rmSync(`/var/run/tgtd/socket.${control}${end}`, { force: true });
    },
  };
}
