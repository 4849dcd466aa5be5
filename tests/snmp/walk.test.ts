import { afterEach, describe, expect, it } from 'vitest';
import { walkColumn } from '../../src/snmp/walk.js';
import { type Agent, type Misbehaviour, type Objects, scriptedAgent } from './scripted-agent.js';
import { community, HAS_SNMPWALK, open, snmpwalk } from './support.js';

const COLUMN = '1.3.6.1.4.1.32473.1.1';
const rows = (count: number): Objects =>
  Array.from({ length: count }, (_, row) => [`${COLUMN}.${row + 1}`, { int: row * 3 }] as const);
const BEHIND: Objects = [['1.3.6.1.4.1.32473.2.1', { text: 'behind' }]];

const agents: Agent[] = [];
afterEach(async () => {
  for (const agent of agents.splice(0)) await agent.close();
});

async function serve(objects: Objects, misbehaviour?: Misbehaviour) {
  const agent = await scriptedAgent(objects, misbehaviour);
  agents.push(agent);
  return agent;
}

async function walk(agent: Agent, version: '1' | '2c' = '2c', limits?: Parameters<typeof walkColumn>[3]) {
  const session = open(community(agent.port, version), { timeoutMs: 200, attempts: 3 });
  const read: string[] = [];
  const result = await walkColumn(
    session,
    COLUMN,
    (index, varbind) => read.push(`.${COLUMN}.${index.join('.')} = INTEGER: ${varbind.value}`),
    limits,
  );
  session.close();
  return { rows: result.rows, truncated: result.cut?.text, cause: result.cut?.cause, read };
}

describe('walkColumn', () => {
  it.skipIf(!HAS_SNMPWALK).each(['1', '2c'] as const)(
    'reads what snmpwalk reads, version %s',
    async (version) => {
      const agent = await serve([...rows(95), ...BEHIND]);
      const { rows: count, truncated, read } = await walk(agent, version);
      expect({ count, truncated }).toEqual({ count: 95, truncated: undefined });
      expect(read).toEqual(await snmpwalk(agent.port, COLUMN, version));
    },
  );

  it('reads an empty column and the last one of an agent', async () => {
    expect(await walk(await serve(BEHIND))).toMatchObject({ rows: 0, truncated: undefined });
    expect(await walk(await serve(rows(30)))).toMatchObject({ rows: 30, truncated: undefined });
    expect(await walk(await serve(rows(2)), '1')).toMatchObject({ rows: 2, truncated: undefined });
    expect(await walk(await serve([]))).toMatchObject({ rows: 0, truncated: undefined });
  });

  it('reads 16,000 rows within seconds and a few dozen MB', async () => {
    const agent = await serve([...rows(16_000), ...BEHIND]);
    const session = open(community(agent.port));
    const startedAt = performance.now();
    const before = process.memoryUsage().heapUsed;
    let sum = 0;
    const result = await walkColumn(session, COLUMN, (_, varbind) => {
      sum += Number(varbind.value);
    });
    session.close();
    expect(result).toEqual({ rows: 16_000 });
    expect(sum).toBe((3 * 15_999 * 16_000) / 2);
    expect(performance.now() - startedAt).toBeLessThan(10_000);
    expect(process.memoryUsage().heapUsed - before).toBeLessThan(128 * 1024 * 1024);
  });

  // RFC 3416 §4.2.2: what follows comes after in order.
  it.each<[string, Misbehaviour['next']]>([
    ['gives the same object for ever', (oid, honest) => (oid === `${COLUMN}.5` ? oid : honest)],
    ['goes back to the beginning', (oid, honest) => (oid === `${COLUMN}.50` ? `${COLUMN}.1` : honest)],
    ['swaps two rows', (oid, honest) => (oid === `${COLUMN}.7` ? `${COLUMN}.6` : honest)],
  ])('cuts off an agent that %s', async (_, next) => {
    const agent = await serve([...rows(100), ...BEHIND], { next: next ?? ((_, honest) => honest) });
    const { rows: count, truncated, cause } = await walk(agent);
    expect(truncated).toBe('the agent returned object identifiers out of order');
    expect(cause).toBe('malformed');
    expect(count).toBeLessThanOrEqual(50);
    expect(agent.questions()).toBeLessThan(10);
  });

  it('keeps what it has when the agent stops answering', async () => {
    const agent = await serve(rows(100), { dropEach: 1 });
    expect(await walk(agent)).toMatchObject({ rows: 0, truncated: 'the agent stopped answering' });
  });

  it('asks again for what gets lost', async () => {
    const agent = await serve([...rows(300), ...BEHIND], { dropEach: 4 });
    expect(await walk(agent)).toMatchObject({ rows: 300, truncated: undefined });
  });

  it('asks for less where the agent says tooBig', async () => {
    const agent = await serve([...rows(100), ...BEHIND], { tooBigAbove: 10 });
    expect(await walk(agent)).toMatchObject({ rows: 100, truncated: undefined });
  });

  it.each([
    ['rows', { maxRows: 40, maxMs: 5000, maxBytes: 1e6 }, 40, 'stopped after 40 rows'],
    ['octets', { maxRows: 4000, maxMs: 5000, maxBytes: 300 }, 9, /^stopped after \d+ octets$/],
  ] as const)('stops at its limit of %s', async (_, limits, count, why) => {
    const { rows: read, truncated, cause } = await walk(await serve(rows(100)), '2c', limits);
    expect(read).toBe(count);
    expect(cause).toBe('too-much');
    expect(truncated).toMatch(why);
  });

  it('stops at its limit of time', async () => {
    const agent = await serve(rows(5000));
    const session = open(community(agent.port));
    let now = 0;
    const clock = { now: () => (now += 400) };
    const limits = { maxRows: 1e6, maxMs: 1000, maxBytes: 1e7 };
    const result = await walkColumn(session, COLUMN, () => {}, limits, clock);
    session.close();
    expect(result).toEqual({ rows: 60, cut: { cause: 'bound-reached', text: 'stopped after 1 s' } });
  });

  it('does not wait out the patience of a request that is longer than its limit of time', async () => {
    const agent = await serve(rows(100), { dropEach: 1 });
    const session = open(community(agent.port), { timeoutMs: 5000, attempts: 3 });
    const startedAt = performance.now();
    const result = await walkColumn(session, COLUMN, () => {}, { maxRows: 10, maxMs: 150, maxBytes: 1e4 });
    session.close();
    expect(result).toMatchObject({ rows: 0, cut: { cause: 'bound-reached' } });
    expect(performance.now() - startedAt).toBeLessThan(1500);
  });

  it('ends when the session is interrupted', async () => {
    const agent = await serve(rows(100), { dropEach: 1 });
    const controller = new AbortController();
    const session = open(community(agent.port), { timeoutMs: 5000, attempts: 3 }, controller.signal);
    setTimeout(() => controller.abort(), 50);
    const startedAt = performance.now();
    expect(await walkColumn(session, COLUMN, () => {})).toMatchObject({
      cut: { cause: 'interrupted', text: 'interrupted' },
    });
    expect(performance.now() - startedAt).toBeLessThan(2000);
  });
});
