import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Lab, type LabHost, labRefusal } from './support/lab.js';
import { makeCertificate, startEquipment, startSnmpd } from './support/services.js';

const refusal = await labRefusal();
if (refusal !== undefined) console.warn(`SKIPPED: the lab's own test: ${refusal}`);

describe.skipIf(refusal !== undefined)('the lab', () => {
  let lab: Lab;
  let laptop: LabHost;
  let array: LabHost;

  beforeAll(async () => {
    lab = new Lab();
    const bench = await lab.addSwitch('bench');
    laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', addresses: ['192.0.2.5/24', '2001:db8:0:10::5/64'] },
    ]);
    array = await lab.addHost('vault-1-a', [
      {
        switch: bench,
        name: 'mgmt',
        mac: '00:00:5e:00:53:11',
        addresses: ['192.0.2.11/24', '2001:db8:0:10::11/64'],
      },
    ]);
  });
  afterAll(() => lab.remove());

  it('joins hosts over a bridge with the MAC addresses it was given', async () => {
    expect((await laptop.exec('ping', ['-c', '1', '-W', '1', '192.0.2.11'])).exitCode).toBe(0);
    expect((await laptop.exec('ping', ['-c', '1', '-W', '1', '2001:db8:0:10::11'])).exitCode).toBe(0);
    expect(await laptop.must('ip', ['neigh'])).toContain('00:00:5e:00:53:11');
  });

  it('runs a web server with its own certificate and an SNMP agent on a host', async () => {
    await startEquipment(array, {
      web: [{ port: 443, tls: await makeCertificate(lab, 'vault-1-a.example'), title: 'vault-1 A' }],
    });
    await startSnmpd(array, { sysName: 'vault-1-a' });
    const shown = await laptop.must('openssl', ['s_client', '-connect', '192.0.2.11:443'], { input: '' });
    expect(shown).toContain('CN = vault-1-a.example');
    expect(
      await laptop.must('snmpget', ['-v2c', '-c', 'lab-read', '-Oqv', '192.0.2.11', '1.3.6.1.2.1.1.5.0']),
    ).toContain('vault-1-a');
  });

  it('drops the share of packets that it was told to', async () => {
    await array.dropIncoming(50);
    const pinged = await laptop.exec('ping', ['-c', '60', '-i', '0.01', '-W', '1', '192.0.2.11']);
    const received = Number(/(\d+) received/.exec(pinged.stdout)?.[1]);
    expect(received).toBeGreaterThan(10);
    expect(received).toBeLessThan(50);
  });
});
