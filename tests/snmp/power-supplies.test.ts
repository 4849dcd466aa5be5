import { createAgent, MaxAccess, MibProviderType, ObjectType } from 'net-snmp';
import { afterEach, describe, expect, it } from 'vitest';
import { readPowerSupplies } from '../../src/snmp/power-supplies.js';
import { freeUdpPort } from './library-agent.js';
import { type Objects, scriptedAgent } from './scripted-agent.js';
import { community } from './support.js';

const closers: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

const read = (port: number, signal = new AbortController().signal) =>
  readPowerSupplies(
    { address: '127.0.0.1', credential: community(port), device: 'vault-1' },
    { timeoutMs: 200, attempts: 2 },
    signal,
  );

async function served(objects: Objects) {
  const agent = await scriptedAgent(objects);
  closers.push(agent.close);
  return read(agent.port);
}

/** RFC 6933: entPhysicalDescr 2, entPhysicalClass 5 (chassis 3, powerSupply 6, fan 7), entPhysicalName 7. */
const ENTITY = '1.3.6.1.2.1.47.1.1.1.1';
const ROWS: Objects = [
  [`${ENTITY}.5.1`, { int: 3 }],
  [`${ENTITY}.5.10`, { int: 6 }],
  [`${ENTITY}.5.11`, { int: 6 }],
  [`${ENTITY}.5.12`, { int: 7 }],
  [`${ENTITY}.5.13`, { int: 6 }],
  [`${ENTITY}.2.10`, { text: 'AC supply' }],
  [`${ENTITY}.2.13`, { text: 'DC supply' }],
  [`${ENTITY}.7.10`, { text: 'PSU A' }],
  [`${ENTITY}.7.13`, { text: '' }],
];
/** RFC 4268: entStateOper; EntityOperState of RFC 4267: unknown 1, disabled 2, enabled 3, testing 4. */
const STATE = '1.3.6.1.2.1.131.1.1.1.3';

describe('readPowerSupplies', () => {
  it('reads supplies by class, and their state where the agent tells it', async () => {
    expect(
      await served([
        ...ROWS,
        [`${STATE}.10`, { int: 3 }],
        [`${STATE}.11`, { int: 2 }],
        [`${STATE}.13`, { int: 4 }],
      ]),
    ).toEqual({
      device: 'vault-1',
      askedAt: '127.0.0.1',
      supplies: [
        { name: 'PSU A', state: 'working' },
        { name: 'supply 2', state: 'not-working' },
        { name: 'DC supply', state: 'unknown' },
      ],
    });
  });

  it('says unknown, not working, where there is no state', async () => {
    const { supplies } = await served(ROWS);
    expect(supplies.map(({ state }) => state)).toEqual(['unknown', 'unknown', 'unknown']);
  });

  it('has none where the agent has no such table, is silent, or the run was ended', async () => {
    expect((await served([[`${ENTITY}.5.1`, { int: 3 }]])).supplies).toEqual([]);
    expect((await served([])).supplies).toEqual([]);
    expect((await read(await freeUdpPort())).supplies).toEqual([]);
    expect((await read(9, AbortSignal.abort())).supplies).toEqual([]);
  });

  it("reads the tables of net-snmp's own agent", async () => {
    const port = await freeUdpPort();
    const agent = createAgent({ port, address: '127.0.0.1' }, () => {});
    closers.push(() => agent.close());
    agent.getAuthorizer().addCommunity('loft-read');
    const mib = agent.getMib();
    const table = (name: string, oid: string, columns: readonly (readonly [number, string, ObjectType])[]) =>
      agent.registerProvider({
        name,
        type: MibProviderType.Table,
        oid,
        maxAccess: MaxAccess['not-accessible'],
        tableColumns: columns.map(([number, column, type]) => ({
          number,
          name: column,
          type,
          maxAccess: MaxAccess['read-only'],
        })),
        tableIndex: [{ columnName: columns[0]?.[1] ?? '' }],
      });
    table('entPhysicalTable', ENTITY, [
      [1, 'entPhysicalIndex', ObjectType.Integer],
      [5, 'entPhysicalClass', ObjectType.Integer],
      [7, 'entPhysicalName', ObjectType.OctetString],
    ]);
    table('entStateTable', '1.3.6.1.2.1.131.1.1.1', [
      [1, 'entStateIndex', ObjectType.Integer],
      [3, 'entStateOper', ObjectType.Integer],
    ]);
    mib.addTableRow('entPhysicalTable', [1, 3, 'chassis']);
    mib.addTableRow('entPhysicalTable', [2, 6, 'supply A']);
    mib.addTableRow('entPhysicalTable', [3, 6, 'supply B']);
    mib.addTableRow('entStateTable', [2, 3]);
    mib.addTableRow('entStateTable', [3, 2]);
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect((await read(port)).supplies).toEqual([
      { name: 'supply A', state: 'working' },
      { name: 'supply B', state: 'not-working' },
    ]);
  });
});
