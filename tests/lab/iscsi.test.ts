/** The discovery probe against a real target (tgt), held against what a real initiator (iscsi-ls of libiscsi) lists in the same test. */
import { rmSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { iscsiProof, probeIscsi } from '../../src/probe/iscsi.js';
import type { IscsiSighting } from '../../src/sighting/types.js';
import { listing, startScriptedTarget, WORKED_ANSWERS } from '../support/scripted-iscsi-target.js';
import { must, type Running, run, start } from './support/run.js';
import { programsRefusal } from './support/services.js';

const refusal =
  process.getuid?.() === 0 ? programsRefusal('tgtd', 'tgtadm', 'iscsi-ls') : 'not root: tgtd needs it';
if (refusal !== undefined) console.warn(`SKIPPED: iSCSI discovery against tgt: ${refusal}`);

const PORT = 13_260;
const PORTALS = ['127.77.0.1', '127.77.0.2', '::1'];
/** tgtd's own control socket, so that no other tgtd is touched. */
const CONTROL = 20_000 + (process.pid % 10_000);
const PATIENCE = { timeoutMs: 2000, attempts: 2 };

const signal = () => new AbortController().signal;
const host = (address: string) => (address.includes(':') ? `[${address}]` : address);

function admin(...args: string[]): Promise<string> {
  return must('tgtadm', ['-C', String(CONTROL), '--lld', 'iscsi', ...args]);
}

async function addTarget(id: number, name: string): Promise<void> {
  await admin('--op', 'new', '--mode', 'target', '--tid', String(id), '-T', name);
  await admin('--op', 'bind', '--mode', 'target', '--tid', String(id), '-I', 'ALL');
}

/** `Target:NAME Portal:ADDRESS:PORT,TAG` lines. */
async function listedByInitiator(address: string, port: number): Promise<string[]> {
  const text = await must('iscsi-ls', [`iscsi://${host(address)}:${port}`]);
  return text
    .split('\n')
    .filter((line) => line.startsWith('Target:'))
    .sort();
}

function listedByUs(sighting: IscsiSighting): string[] {
  if (sighting.outcome !== 'listed') throw new Error(JSON.stringify(sighting));
  return sighting.targets
    .flatMap(({ name, portals }) =>
      portals.map(({ address, port, tag }) => `Target:${name} Portal:${host(address)}:${port},${tag}`),
    )
    .sort();
}

describe.skipIf(refusal !== undefined)('iSCSI discovery', () => {
  let target: Running;

  beforeAll(async () => {
    target = start('tgtd', ['-f', '-C', String(CONTROL), '--iscsi', `portal=${PORTALS[0]}:${PORT}`]);
    const until = Date.now() + 15_000;
    while ((await run('tgtadm', ['-C', String(CONTROL), '--op', 'show', '--mode', 'sys'])).exitCode !== 0) {
      if (Date.now() > until) throw new Error(`tgtd does not start: ${target.output()}`);
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
    for (const portal of PORTALS.slice(1)) {
      await admin('--op', 'new', '--mode', 'portal', '--param', `portal=${host(portal)}:${PORT}`);
    }
    await addTarget(1, 'iqn.2001-04.com.example:vault-1');
    await addTarget(2, 'iqn.2001-04.com.example:vault-1.second');
  });

  afterAll(async () => {
    await target?.stop();
    for (const end of ['', '.lock']) rmSync(`/var/run/tgtd/socket.${CONTROL}${end}`, { force: true });
  });

  it.each(PORTALS)('lists at %s what iscsi-ls lists there', async (address) => {
    const seen = await probeIscsi({ address, port: PORT }, PATIENCE, signal());
    const theirs = await listedByInitiator(address, PORT);
    expect(theirs).toHaveLength(2);
    expect(listedByUs(seen)).toEqual(theirs);
    // tgt tells only the portal that was asked (shared/standards.md part 7): the union over portals is the judge's.
    expect(theirs.every((line) => line.includes(`Portal:${host(address)}:`))).toBe(true);
    expect(iscsiProof(seen, { name: 'iscsi-target', protocol: 'tcp', port: PORT })).toMatchObject({
      outcome: 'proven',
      detail: '2 targets at 1 portal',
    });
  });

  it('asks all portals at once without one session ending another', async () => {
    const all = await Promise.all(
      Array.from({ length: 12 }, (_, index) =>
        probeIscsi({ address: PORTALS[index % 3] ?? '', port: PORT }, PATIENCE, signal()),
      ),
    );
    expect(all.map((seen) => seen.outcome)).toEqual(Array.from({ length: 12 }, () => 'listed'));
  });

  it('leaves no connection open (ss of iproute2)', async () => {
    await probeIscsi({ address: PORTALS[0] ?? '', port: PORT }, PATIENCE, signal());
    const open = await must('ss', [
      '-Htn',
      'state',
      'established',
      `dst = ${PORTALS[0]}`,
      `dport = :${PORT}`,
    ]);
    expect(open.trim()).toBe('');
  });

  it('reads a list longer than one PDU as iscsi-ls does', async () => {
    for (let id = 10; id < 130; id += 1) {
      await addTarget(id, `iqn.2001-04.com.example:shelf-${id}.${'long-name-'.repeat(9)}end`);
    }
    const seen = await probeIscsi({ address: PORTALS[0] ?? '', port: PORT }, PATIENCE, signal());
    const theirs = await listedByInitiator(PORTALS[0] ?? '', PORT);
    expect(theirs).toHaveLength(122);
    expect(listedByUs(seen)).toEqual(theirs);
  });

  it.each(['b', 'c'] as const)(
    'a target that gives the worked answer (%s) of RFC 7143 appendix C is read alike by iscsi-ls',
    async (name) => {
      const scripted = await startScriptedTarget({ answer: listing(WORKED_ANSWERS[name]) });
      const seen = await probeIscsi({ address: '127.0.0.1', port: scripted.port }, PATIENCE, signal());
      const theirs = await listedByInitiator('127.0.0.1', scripted.port);
      await scripted.close();
      expect(theirs).toHaveLength(name === 'b' ? 4 : 5);
      expect(listedByUs(seen)).toEqual(theirs);
    },
  );
});
