import { describe, expect, it } from 'vitest';
import { unusedAddress, watchProxies } from '../../src/presence/proxy-check.js';
import { type AddressRecord, addClaim, newRecord } from '../../src/presence/record.js';

const ROUTER = '00:00:5e:00:53:fe';
const NETWORK = {
  name: 'mgmt',
  cidr: '192.0.2.0/28',
  taken: ['192.0.2.14', '192.0.2.2', '192.0.2.3', '192.0.2.4'],
};

function claimedBy(mac: string, ...addresses: string[]): AddressRecord[] {
  return addresses.map((address) => {
    const record = newRecord(address, 'eth0');
    addClaim(record, { mac, method: 'capture' });
    return record;
  });
}

const DEVICES = new Map([
  ['192.0.2.2', 'vault-1'],
  ['192.0.2.3', 'vault-2'],
  ['192.0.2.4', 'press-1'],
  ['192.0.2.5', 'press-1'],
]);

async function check(records: AddressRecord[], answer?: string) {
  const asked: string[] = [];
  const watch = watchProxies({ deviceOf: DEVICES, networks: [NETWORK] }, async (record) => {
    asked.push(record.address);
    if (answer !== undefined) addClaim(record, { mac: answer, method: 'capture' });
  });
  for (const record of records) watch.see(record);
  // Seen again at the end of a run: nothing is asked twice.
  for (const record of records) watch.see(record);
  return { asked, checks: await watch.ended() };
}

// A router that answers ARP for others: RFC 1027 §2. When to ask, and once: DESIGN 6. A real one: tests/lab/wire-proxy.test.ts.
describe('the question for an address nobody planned', () => {
  it('is put once where one MAC claims the addresses of three devices', async () => {
    const { asked, checks } = await check(claimedBy(ROUTER, '192.0.2.2', '192.0.2.3', '192.0.2.4'), ROUTER);
    expect(asked).toEqual(['192.0.2.13']);
    expect(checks).toEqual([
      { network: 'mgmt', mac: ROUTER, askedAddress: '192.0.2.13', answeredBy: [ROUTER] },
    ]);
  });

  it('is put where one MAC is a second claimant at two addresses, with one array planned', async () => {
    const both = ['192.0.2.2', '192.0.2.3'].map((address, index) => {
      const record = newRecord(address, 'eth0');
      addClaim(record, { mac: `00:00:5e:00:53:0${index + 1}`, method: 'capture' });
      addClaim(record, { mac: ROUTER, method: 'capture' });
      return record;
    });
    const { asked, checks } = await check(both, ROUTER);
    expect(asked).toEqual(['192.0.2.13']);
    expect(checks.find(({ mac }) => mac === ROUTER)).toMatchObject({ answeredBy: [ROUTER] });
    expect((await check(both.slice(0, 1), ROUTER)).asked).toEqual([]);
  });

  it('goes out with the third device, while others are still being asked', () => {
    const asked: string[] = [];
    const watch = watchProxies({ deviceOf: DEVICES, networks: [NETWORK] }, async (record) => {
      asked.push(record.address);
    });
    const [first, second, third] = claimedBy(ROUTER, '192.0.2.2', '192.0.2.3', '192.0.2.4');
    for (const record of [first, second]) if (record !== undefined) watch.see(record);
    expect(asked).toEqual([]);
    if (third !== undefined) watch.see(third);
    expect(asked).toEqual(['192.0.2.13']);
  });

  it('has an empty answer for a device with many addresses', async () => {
    const { checks } = await check(claimedBy(ROUTER, '192.0.2.2', '192.0.2.3', '192.0.2.4'));
    expect(checks[0]?.answeredBy).toEqual([]);
  });

  it('is not put for two devices, however many addresses', async () => {
    const { asked } = await check(claimedBy(ROUTER, '192.0.2.2', '192.0.2.4', '192.0.2.5'), ROUTER);
    expect(asked).toEqual([]);
  });
});

describe('the unused address', () => {
  it('is the highest neither taken nor reserved', () => {
    const reserved = [{ first: '192.0.2.10', last: '192.0.2.13' }];
    expect(unusedAddress({ ...NETWORK, reserved })).toBe('192.0.2.9');
  });

  it('is none in a full network', () => {
    expect(
      unusedAddress({ name: 'p', cidr: '192.0.2.4/31', taken: ['192.0.2.4', '192.0.2.5'] }),
    ).toBeUndefined();
  });
});
