/** SNMP against a real snmpd on loopback, and held against what `snmpget` says of the same agent. */
import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Secret } from '../../src/plan/secret.js';
import type { ResolvedSnmp } from '../../src/probe/types.js';
import { probeSnmp } from '../../src/snmp/agent.js';
import { readLinks } from '../../src/snmp/links.js';
import { freeUdpPort } from '../snmp/library-agent.js';

const run = promisify(execFile);
const ADDRESS = '127.0.0.1';
const HERE = ['/usr/sbin/snmpd', '/usr/bin/snmpget'].every((path) => existsSync(path));
if (!HERE) console.warn('SKIPPED: snmpd or snmpget is not installed, the SNMP lab proves nothing here');

const CONF = `
rocommunity loft-read
sysName vault-1-a
sysDescr Loft vault, controller A
sysLocation rack R3
sysContact keeper@example.org
createUser reader SHA-256 maplesyrup
createUser keeper SHA-256 maplesyrup AES newsyrup1
rouser reader auth
rouser keeper priv
`;

describe.skipIf(!HERE)('snmpd', () => {
  let folder: string;
  let agent: ChildProcess;
  let port: number;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'matchmark-snmpd-'));
    writeFileSync(join(folder, 'snmpd.conf'), CONF);
    port = await freeUdpPort();
    const args = [
      '-f',
      '-C',
      '-c',
      join(folder, 'snmpd.conf'),
      '-Lo',
      '-I',
      '-smux',
      `udp:${ADDRESS}:${port}`,
    ];
    agent = spawn('/usr/sbin/snmpd', args, {
      env: { ...process.env, SNMP_PERSISTENT_DIR: folder, MIBS: '' },
      stdio: 'ignore',
    });
    for (let tries = 0; tries < 50; tries += 1) {
      if ((await snmpget(['1.3.6.1.2.1.1.5.0']).catch(() => undefined)) !== undefined) return;
    }
    throw new Error('snmpd did not come up');
  });
  afterAll(() => {
    agent.kill('SIGKILL');
    rmSync(folder, { recursive: true, force: true });
  });

  /** Values alone, one a line. */
  async function snmpget(
    oids: readonly string[],
    credential = ['-v2c', '-c', 'loft-read'],
  ): Promise<string[]> {
    const args = [...credential, '-t', '0.3', '-r', '1', '-Oqvtn', `${ADDRESS}:${port}`, ...oids];
    const { stdout } = await run('snmpget', args, { env: { ...process.env, MIBS: '' } });
    return stdout
      .trim()
      .split('\n')
      .map((line) => line.replace(/^"|"$/g, ''));
  }

  const ask = (credential?: Omit<ResolvedSnmp, 'port' | 'name'>) =>
    probeSnmp(
      {
        address: ADDRESS,
        service: { name: 'snmp', protocol: 'udp', port },
        credential: credential && { name: 'site', port, ...credential },
      },
      { timeoutMs: 800, attempts: 2 },
      new AbortController().signal,
    );

  const secret = (text: string) => new Secret(text);
  const authKey = secret('maplesyrup');

  it.each<[string, Omit<ResolvedSnmp, 'port' | 'name'>]>([
    ['1', { version: '1', community: secret('loft-read') }],
    ['2c', { version: '2c', community: secret('loft-read') }],
    ['3 with authentication', { version: '3', user: 'reader', auth: 'sha256', authKey }],
    [
      '3 with privacy',
      { version: '3', user: 'keeper', auth: 'sha256', authKey, priv: 'aes', privKey: secret('newsyrup1') },
    ],
  ])('says the same to us as to snmpget: version %s', async (_, credential) => {
    const [sysDescr, sysObjectId, sysContact, sysName, sysLocation] = await snmpget(
      [1, 2, 4, 5, 6].map((object) => `1.3.6.1.2.1.1.${object}.0`),
    );
    const { sighting, identity } = await ask(credential);
    expect(sighting).toMatchObject({ outcome: 'replied', version: credential.version });
    expect(identity).toMatchObject({
      sysDescr,
      sysObjectId: sysObjectId?.replace(/^\./, ''),
      sysContact,
      sysName,
      sysLocation,
    });
    expect(sysName).toBe('vault-1-a');
  });

  it('rejects a wrong key and an unknown user, each for what it is', async () => {
    const wrongKey = await ask({
      version: '3',
      user: 'reader',
      auth: 'sha256',
      authKey: secret('mistaken-1'),
    });
    expect(wrongKey.sighting).toMatchObject({
      outcome: 'rejected',
      detail: expect.stringMatching(/key is wrong/),
    });
    const nobody = await ask({ version: '3', user: 'nobody', auth: 'sha256', authKey });
    expect(nobody.sighting).toMatchObject({ outcome: 'rejected', detail: expect.stringMatching(/user/) });
    expect(JSON.stringify([wrongKey, nobody])).not.toMatch(/mistaken|maplesyrup/);
  });

  it('lives there, as the engine that snmpget sees', async () => {
    const { proof, identity } = await ask();
    expect(proof).toMatchObject({ outcome: 'proven' });
    // snmpEngineID, RFC 3411 §5: 1.3.6.1.6.3.10.2.1.1.0.
    const engine = (await snmpget(['-Ox', '1.3.6.1.6.3.10.2.1.1.0'])).join(' ');
    expect(identity?.engineId).toBe(engine.replace(/[\s"]/g, '').toLowerCase());
  });

  it('lists the loopback interface as snmpget does', async () => {
    const credential = { name: 'site', port, version: '2c', community: secret('loft-read') } as const;
    const links = await readLinks(
      { address: ADDRESS, credential, device: 'vault-1', controller: 'A' },
      { timeoutMs: 800, attempts: 2 },
      new AbortController().signal,
    );
    expect(links).toMatchObject({ device: 'vault-1', controller: 'A', askedAt: ADDRESS });
    expect(links.truncated).toBeUndefined();
    const lo = links.links.find((link) => link.addresses.includes('127.0.0.1'));
    const [descr, type, mtu, admin, oper] = await snmpget(
      [2, 3, 4, 7, 8].map((column) => `1.3.6.1.2.1.2.2.1.${column}.${lo?.ifIndex}`),
    );
    expect(lo).toMatchObject({ ifDescr: descr, ifType: Number(type), mtu: Number(mtu) });
    expect([lo?.adminStatus, lo?.operStatus]).toEqual(
      [admin, oper].map((value) => (value === '1' ? 'up' : value)),
    );
  });
});
