// Servers and the probes that ask them, in the network namespace that it is started in, where packets get lost. Prints what came of it.
import { createServer as createHttp } from 'node:http';
import { createServer as createHttps } from 'node:https';
import { Secret } from '../../src/plan/secret.js';
import { proveService } from '../../src/probe/services.js';
import { probeSnmp } from '../../src/snmp/agent.js';
import { ADDRESS, listen, service, tcpServer } from '../probe/loopback.js';
import { scriptedAgent } from '../snmp/scripted-agent.js';
import { listing, startScriptedTarget, WORKED_ANSWERS } from '../support/scripted-iscsi-target.js';

export interface Asked {
  readonly service: string;
  readonly outcome: string;
  readonly cause: string | undefined;
  readonly tookMs: number;
}

const [key = '', cert = '', timeoutMs = '', attempts = '', most = ''] = process.argv.slice(2);
const patience = { timeoutMs: Number(timeoutMs), attempts: Number(attempts) };
const { signal } = new AbortController();

async function main(): Promise<void> {
  const page = (_: unknown, reply: { end(text: string): void }) => reply.end('<title>Vault</title>');
  const servers = {
    ssh: await tcpServer((socket) => socket.write('SSH-2.0-loft\r\n')),
    http: await listen(createHttp(page)),
    https: await listen(createHttps({ key, cert }, page)),
    'iscsi-target': await startScriptedTarget({ answer: listing(WORKED_ANSWERS.c) }),
  };
  const agent = await scriptedAgent([['1.3.6.1.2.1.1.5.0', { text: 'vault-1-a' }]]);
  const credential = {
    name: 'lab',
    version: '2c',
    port: agent.port,
    community: new Secret('loft-read'),
  } as const;

  /** Asked again while it is silent, so many times in all. */
  const timed = async (
    name: string,
    ask: () => Promise<{ outcome: string; cause?: string | undefined }>,
  ): Promise<Asked[]> => {
    const asked: Asked[] = [];
    while (asked.length < Number(most) && asked.at(-1)?.outcome !== 'proven') {
      const startedAt = performance.now();
      const { outcome, cause } = await ask();
      asked.push({ service: name, outcome, cause, tookMs: Math.round(performance.now() - startedAt) });
    }
    return asked;
  };
  const asked = await Promise.all([
    ...Object.entries(servers).map(([name, { port }]) =>
      timed(
        name,
        async () =>
          (await proveService({ address: ADDRESS, service: service(name, port) }, patience, signal)).proof,
      ),
    ),
    timed(
      'snmp',
      async () =>
        (
          await probeSnmp(
            { address: ADDRESS, service: service('snmp', agent.port), credential },
            patience,
            signal,
          )
        ).proof,
    ),
  ]);
  process.stdout.write(JSON.stringify(asked), () => process.exit(0));
}

void main();
