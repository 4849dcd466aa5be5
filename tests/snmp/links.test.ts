import { afterEach, describe, expect, it } from 'vitest';
import { speedFromBps } from '../../src/snmp/if-mib.js';
import { addressFromIndex } from '../../src/snmp/ip-mib.js';
import { readLinks } from '../../src/snmp/links.js';
import { type Agent, type Misbehaviour, type Objects, scriptedAgent } from './scripted-agent.js';
import { community, HAS_SNMPWALK, snmpwalk } from './support.js';

const agents: Agent[] = [];
afterEach(async () => {
  for (const agent of agents.splice(0)) await agent.close();
});

async function read(objects: Objects, misbehaviour?: Misbehaviour, version: '1' | '2c' = '2c') {
  const agent = await scriptedAgent(objects, misbehaviour);
  agents.push(agent);
  const credential = community(agent.port, version);
  const target = { address: '127.0.0.1', credential, device: 'vault-1', controller: 'A' };
  const links = await readLinks(target, { timeoutMs: 200, attempts: 2 }, new AbortController().signal);
  return { links, agent };
}

/** RFC 2863: ifEntry and ifXEntry. */
const IF = '1.3.6.1.2.1.2.2.1';
const IFX = '1.3.6.1.2.1.31.1.1.1';
/** RFC 4044: fcmPortWwn. */
const WWN = '1.3.6.1.2.1.10.56.1.3.1.2';

const PORTS: Objects = [
  // 2: copper at 1G; 3: 10G, where ifSpeed can say no more; 4: Fibre Channel, down.
  ...[2, 3, 4].map((port) => [`${IF}.2.${port}`, { text: `Controller A port ${port}` }] as const),
  [`${IF}.3.2`, { int: 6 }],
  [`${IF}.3.3`, { int: 6 }],
  [`${IF}.3.4`, { int: 56 }],
  [`${IF}.4.2`, { int: 1500 }],
  [`${IF}.4.3`, { int: 9000 }],
  [`${IF}.5.2`, { gauge: 1_000_000_000 }],
  [`${IF}.5.3`, { gauge: 4_294_967_295 }],
  [`${IF}.5.4`, { gauge: 0 }],
  [`${IF}.6.2`, { hex: '00:00:5e:00:53:02' }],
  [`${IF}.6.3`, { hex: '00:00:5e:00:53:03' }],
  [`${IF}.6.4`, { hex: '' }],
  [`${IF}.7.2`, { int: 1 }],
  [`${IF}.7.3`, { int: 1 }],
  [`${IF}.7.4`, { int: 1 }],
  [`${IF}.8.2`, { int: 1 }],
  [`${IF}.8.3`, { int: 1 }],
  [`${IF}.8.4`, { int: 7 }],
  [`${IFX}.1.2`, { text: 'mgmt' }],
  [`${IFX}.1.3`, { text: 'data0' }],
  [`${IFX}.1.4`, { text: 'fc0' }],
  [`${IFX}.15.3`, { gauge: 10_000 }],
  [`${WWN}.4`, { hex: '20:00:00:00:5e:00:53:04' }],
  // ipAddressIfIndex (RFC 4293), then ipAdEntIfIndex.
  ['1.3.6.1.2.1.4.34.1.3.1.4.198.51.100.11', { int: 3 }],
  ['1.3.6.1.2.1.4.34.1.3.2.16.32.1.13.184.0.0.0.0.0.0.0.0.0.0.0.17', { int: 3 }],
  ['1.3.6.1.2.1.4.20.1.2.192.0.2.11', { int: 2 }],
  ['1.3.6.1.2.1.4.20.1.2.198.51.100.11', { int: 3 }],
];

describe('readLinks', () => {
  it.each(['1', '2c'] as const)(
    'reads ports, addresses and Fibre Channel names, version %s',
    async (version) => {
      const { links } = await read(PORTS, undefined, version);
      expect(links).toEqual({
        device: 'vault-1',
        controller: 'A',
        askedAt: '127.0.0.1',
        links: [
          {
            ifIndex: 2,
            ifName: 'mgmt',
            ifDescr: 'Controller A port 2',
            ifType: 6,
            mac: '00:00:5e:00:53:02',
            adminStatus: 'up',
            operStatus: 'up',
            speedMbps: 1000,
            mtu: 1500,
            addresses: ['192.0.2.11'],
          },
          {
            ifIndex: 3,
            ifName: 'data0',
            ifDescr: 'Controller A port 3',
            ifType: 6,
            mac: '00:00:5e:00:53:03',
            adminStatus: 'up',
            operStatus: 'up',
            speedMbps: 10_000,
            mtu: 9000,
            addresses: ['198.51.100.11', '2001:db8::11'],
          },
          {
            ifIndex: 4,
            ifName: 'fc0',
            ifDescr: 'Controller A port 4',
            ifType: 56,
            adminStatus: 'up',
            operStatus: 'lowerLayerDown',
            addresses: [],
            wwn: '20:00:00:00:5e:00:53:04',
          },
        ],
      });
    },
  );

  it.skipIf(!HAS_SNMPWALK)('says of each port what snmpwalk says', async () => {
    const { links, agent } = await read(PORTS);
    const walked = await snmpwalk(agent.port, IF);
    const value = (column: number, ifIndex: number) =>
      walked.find((line) => line.startsWith(`.${IF}.${column}.${ifIndex} = `))?.replace(/^.*?: /, '');
    for (const link of links.links) {
      expect(`"${link.ifDescr}"`).toBe(value(2, link.ifIndex));
      expect(String(link.ifType)).toBe(value(3, link.ifIndex));
      expect(link.operStatus).toBe({ 1: 'up', 7: 'lowerLayerDown' }[value(8, link.ifIndex) ?? '']);
    }
    expect(walked.filter((line) => line.startsWith(`.${IF}.2.`))).toHaveLength(links.links.length);
  });

  it('tells why there is nothing', async () => {
    expect((await read([])).links).toMatchObject({ links: [] });
    const { links, agent } = await read(PORTS, { dropEach: 1 });
    expect(links).toMatchObject({ links: [], truncated: 'IF-MIB: the agent stopped answering' });
    // One request and its repetition, not one for each column.
    expect(agent.questions()).toBe(2);
  });

  it('asks for all columns of a table together', async () => {
    const { agent } = await read(PORTS);
    // Three ports at three rows a request, once more to see that there are no more of them; then addresses and names.
    expect(agent.questions()).toBe(3);
  });

  it.each<[string, Misbehaviour]>([
    ['fails where more than one column is asked for', { oneColumn: true }],
    ['fits only two values into an answer', { tooBigAbove: 2 }],
    ['cuts its answers short', { cutsAt: 4 }],
    ['cuts its answers to one value', { cutsAt: 1 }],
  ])('reads the same of an agent that %s', async (_, misbehaviour) => {
    expect((await read(PORTS, misbehaviour)).links).toEqual((await read(PORTS)).links);
  });

  it('keeps what it has of an agent that goes in circles', async () => {
    const { links } = await read(PORTS, {
      next: (oid, honest) => (oid === `${IF}.2.4` ? `${IF}.2.2` : honest),
    });
    expect(links.truncated).toBe('IF-MIB: the agent returned object identifiers out of order');
    expect(links.links.map(({ ifName }) => ifName)).toEqual(['mgmt', 'data0', 'fc0']);
  });
});

// RFC 2863, ifSpeed: 4,294,967,295 where the speed is larger than the object can say.
describe('speedFromBps', () => {
  it.each([
    [1_000_000_000, 1000],
    [10_000_000, 10],
    [4_294_967_295, undefined],
    [0, undefined],
    [undefined, undefined],
  ])('%s', (bps, mbps) => {
    expect(speedFromBps(bps)).toBe(mbps);
  });
});

// RFC 4001: InetAddressType ipv4(1) ipv6(2) ipv4z(3) ipv6z(4); the zone follows the octets.
describe('addressFromIndex', () => {
  it.each([
    [[1, 4, 192, 0, 2, 7], '192.0.2.7'],
    [[3, 8, 192, 0, 2, 7, 0, 0, 0, 3], '192.0.2.7'],
    [[2, 16, 32, 1, 13, 184, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 7], '2001:db8::7'],
    [[1, 4, 192, 0, 2], undefined],
    [[16, 3, 97, 98, 99], undefined],
    [[1, 4, 999, 0, 2, 1], undefined],
    [[], undefined],
  ])('%j', (index, address) => {
    expect(addressFromIndex(index)).toBe(address);
  });
});
