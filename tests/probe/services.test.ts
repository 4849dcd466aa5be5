import { afterEach, describe, expect, it } from 'vitest';
import { SERVICES } from '../../src/plan/services.js';
import { proofFor, proveService } from '../../src/probe/services.js';
import { ADDRESS, closedPort, never, PATIENCE, service, tcpServer } from './loopback.js';

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

describe('proveService', () => {
  it('takes a connect for a bare port, and says so', async () => {
    const server = await tcpServer(() => {});
    closers.push(server.close);
    const bare = service(`tcp/${server.port}`, server.port);
    const { proof } = await proveService({ address: ADDRESS, service: bare }, PATIENCE, never());
    expect(proof).toMatchObject({ outcome: 'proven', detail: 'accepts connections' });
    const ldap = service('ldap', server.port);
    const named = await proveService({ address: ADDRESS, service: ldap }, PATIENCE, never());
    expect(named.proof).toMatchObject({ detail: 'accepts connections; its protocol was not asked' });
  });

  it('an open port that says nothing is no proof of a service that has one', async () => {
    const server = await tcpServer(() => {});
    closers.push(server.close);
    const connect = proofFor(service('tcp/8443', 8443));
    const spoken = SERVICES.filter((known) => known.protocol === 'tcp' && proofFor(known) !== connect);
    expect(spoken.map(({ name }) => name)).toEqual(expect.arrayContaining(['http', 'https', 'ssh', 'nfs']));
    const outcomes = await Promise.all(
      spoken.map(async ({ name }) => {
        const target = { address: ADDRESS, service: service(name, server.port) };
        return [name, (await proveService(target, PATIENCE, never())).proof.outcome];
      }),
    );
    expect(outcomes).toEqual(spoken.map(({ name }) => [name, 'silent']));
  });

  /** First octets of the question that the protocol's own document gives. */
  it.each([
    [
      'nfs',
      /^8000[0-9a-f]{12}0{8}00000002000186a3/,
      'RPC call (RFC 5531 §9) of program 100003 (RFC 1813 §2.1)',
    ],
    ['sunrpc', /^8000[0-9a-f]{12}0{8}00000002000186a0/, 'RPC call of program 100000 (RFC 1833 §3)'],
    ['microsoft-ds', /^00......fe534d42/, 'SMB2 header, 0xFE "SMB" ([MS-SMB2] §2.2.1)'],
    ['nvme', /^0000800080000000/, 'ICReq PDU of 128 octets (NVMe/TCP transport, from memory)'],
    ['nvme-disc', /^0000800080000000/, 'the same greeting'],
  ])('speaks the protocol of %s', async (name, opening) => {
    let heard = '';
    const server = await tcpServer((socket) => {
      socket.on('data', (chunk: Uint8Array) => {
        heard += Buffer.from(chunk).toString('hex');
      });
    });
    closers.push(server.close);
    await proveService({ address: ADDRESS, service: service(name, server.port) }, PATIENCE, never());
    expect(heard).toMatch(opening);
  });

  it('a closed port is refused for every TCP service', async () => {
    const port = await closedPort();
    for (const { name } of SERVICES.filter(({ protocol }) => protocol === 'tcp')) {
      const target = { address: ADDRESS, service: service(name, port) };
      expect([name, (await proveService(target, PATIENCE, never())).proof.outcome]).toEqual([
        name,
        'refused',
      ]);
    }
  });

  it('does not pretend to know UDP services it cannot speak', async () => {
    const target = { address: ADDRESS, service: { name: 'ntp', protocol: 'udp', port: 123 } } as const;
    const { proof } = await proveService(target, PATIENCE, never());
    expect(proof).toMatchObject({ outcome: 'not-run', reason: expect.stringContaining('ntp') });
  });
});
