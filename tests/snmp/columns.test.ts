import { afterEach, describe, expect, it } from 'vitest';
import { TableReader } from '../../src/snmp/columns.js';
import { type Agent, type Misbehaviour, type Objects, scriptedAgent } from './scripted-agent.js';
import { community, open } from './support.js';

const COLUMN = '1.3.6.1.4.1.32473.1';
const OBJECTS: Objects = [
  [`${COLUMN}.1.1`, { int: 5 }],
  [`${COLUMN}.2.1`, { int: 6 }],
  [`${COLUMN}.9.0`, { text: 'alone' }],
];

const closers: (() => void | Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

async function reader(misbehaviour?: Misbehaviour, version: '1' | '2c' = '2c') {
  const agent: Agent = await scriptedAgent(OBJECTS, misbehaviour);
  const session = open(community(agent.port, version), { timeoutMs: 100, attempts: 1 });
  closers.push(session.close, agent.close);
  return { session, agent };
}

describe('TableReader', () => {
  it('stops asking once the agent is gone', async () => {
    const { session, agent } = await reader({ dropEach: 1 });
    const table = new TableReader(session);
    expect(await table.column('first', `${COLUMN}.1`, () => {})).toBe(0);
    expect(await table.column('second', `${COLUMN}.2`, () => {})).toBe(0);
    expect((await table.scalars([`${COLUMN}.9.0`])).size).toBe(0);
    expect(agent.questions()).toBe(1);
    expect(table.truncated).toBe('first: the agent stopped answering');
    expect(table.cut).toEqual({ truncated: table.truncated, cutBecause: 'timeout' });
  });

  it('stops asking once the device has taken too long', async () => {
    const { session } = await reader();
    let now = 0;
    const table = new TableReader(session, undefined, { now: () => (now += 150) }, 1000);
    const rows: number[] = [];
    for (const column of [1, 2, 1, 2]) {
      await table.column('table', `${COLUMN}.${column}`, (_, varbind) => rows.push(Number(varbind.value)));
    }
    expect(rows).toEqual([5, 6]);
    expect(table.cut).toEqual({
      truncated: 'the device took too long; further tables were not asked for',
      cutBecause: 'bound-reached',
    });
  });

  it.each(['1', '2c'] as const)('reads the objects there are, version %s', async (version) => {
    const { session } = await reader(undefined, version);
    const table = new TableReader(session);
    const found = await table.scalars([`${COLUMN}.8.0`, `${COLUMN}.9.0`]);
    expect(String(found.get(`${COLUMN}.9.0`)?.value)).toBe('alone');
    expect(table.cut).toEqual({});
  });
});
