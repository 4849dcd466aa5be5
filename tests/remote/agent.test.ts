/** The agent itself: bundled as the build does, handed to the Node of a real shell by standard input, with no SSH in between. */
import { spawn } from 'node:child_process';
import { createServer } from 'node:net';
import path from 'node:path';
import { build } from 'esbuild';
import { describe, expect, it } from 'vitest';
import { SETTINGS } from '../../bin/bundle.js';
import { lookFromElsewhere } from '../../src/remote/look-from.js';
import type { ProgramStream } from '../../src/system/program-types.js';
import { aNetwork, anEndpoint, aPlan } from '../support/evidence.js';

async function builtAgent(): Promise<string> {
  const { outputFiles } = await build({
    ...SETTINGS,
    entryPoints: ['src/remote/agent-text.ts'],
    format: 'esm',
    write: false,
  });
  const text = outputFiles?.[0]?.text ?? '';
  const made = (await import(`data:text/javascript;base64,${Buffer.from(text).toString('base64')}`)) as {
    agentText: () => string;
  };
  return made.agentText();
}

/** As the ssh program would be: a shell at the other end of a pipe. */
function shellAtOnce(): ProgramStream {
  const node = path.dirname(process.execPath);
  const child = spawn('/bin/sh', [], {
    stdio: ['pipe', 'pipe', 'pipe'],
    env: { PATH: `${node}:/usr/sbin:/usr/bin:/sbin:/bin` },
  });
  child.stdin.on('error', () => {});
  return {
    stdout: child.stdout,
    stderr: () => '',
    ended: new Promise((resolve) => child.on('close', (code) => resolve(code ?? undefined))),
    write: (text) => {
      child.stdin.write(text);
    },
    stop: () => {
      child.stdin.end();
    },
  };
}

describe.skipIf(process.platform === 'win32')('the agent', () => {
  it('looks from memory with the plan it is sent, and ends when the connection does', async () => {
    const server = createServer((socket) => socket.end('SSH-2.0-Example_1.0\r\n'));
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const bound = server.address();
    const port = typeof bound === 'object' && bound !== null ? bound.port : 0;
    const plan = aPlan({
      networks: [aNetwork('loop', '127.0.0.0/8')],
      endpoints: [
        {
          ...anEndpoint('vault-1/A/mgmt', { address: '127.0.0.1' }),
          services: [{ name: 'ssh', protocol: 'tcp', port }],
        },
      ],
    });
    const agent = await builtAgent();
    const stream = shellAtOnce();
    const phases = new Set<string>();
    const [evidence] = await lookFromElsewhere(
      {
        plan,
        stage: 'configured',
        places: [{ name: 'press-1', ssh: 'ssh://press-1.example', host: 'press-1.example' }],
        credentials: new Map(),
        beside: false,
        onProgress: (_place, { phase }) => phases.add(phase),
      },
      {
        programs: {
          run: async () => ({ ran: false, why: 'not-found', detail: '' }),
          start: () => stream,
        },
        now: () => new Date(),
        nonce: () => 'abc123',
        agent: () => agent,
      },
      new AbortController().signal,
    );
    server.close();
    expect(evidence?.failed).toBeUndefined();
    expect(evidence).toMatchObject({
      complete: true,
      vantage: { name: 'press-1', from: 'ssh://press-1.example' },
      sightings: [{ address: '127.0.0.1' }],
    });
    expect(evidence?.sightings[0]?.proofs).toMatchObject([{ service: 'ssh', outcome: 'proven' }]);
    expect(phases).toContain('asking');
    expect(await stream.ended).toBe(0);
  });
});
