import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { stringify } from 'yaml';
import { draftOf } from '../../src/draft/draft.js';
import { noteText } from '../../src/draft/notes.js';
import { equipmentOf } from './equipment.js';

const NETWORKS = [
  { name: 'lan', cidr: '198.18.0.0/20', gateway: '198.18.0.1' },
  { name: 'data-a', cidr: '198.18.16.0/20' },
];
const item = fc.record({
  count: fc.integer({ min: 1, max: 3 }),
  controllers: fc.constantFrom([], ['A', 'B']),
  ports: fc.subarray(
    [
      { name: 'mgmt', network: 'lan' },
      { name: 'data0', network: 'data-a', role: 'data' },
      { name: 'cluster', network: 'lan', per: 'device' },
    ],
    { minLength: 1 },
  ),
  'switch-ports': fc.constantFrom([], [], [], ['1/1-1/4']),
});
const items = fc
  .array(item, { minLength: 1, maxLength: 6 })
  .map((list) => list.map((one, index) => ({ name: `item${index}`, ...one })));
const equipment = (list: readonly object[]) =>
  equipmentOf(stringify({ equipment: 1, networks: NETWORKS, items: list }));
/** Port -> address. */
const numbers = (draft: ReturnType<typeof draftOf>) =>
  Object.fromEntries(draft.endpoints.map(({ id, address }) => [id, address]));

describe('numbers stay', () => {
  test('what a device gets depends on what stands before it only', () => {
    fc.assert(
      fc.property(items, fc.nat(6), (list, cut) => {
        const fewer = list.slice(0, Math.max(1, Math.min(cut, list.length)));
        expect(numbers(draftOf(equipment(list)))).toMatchObject(numbers(draftOf(equipment(fewer))));
      }),
    );
  });

  test('with the previous list, wherever a device is added, also the cables', () => {
    const cables = (draft: ReturnType<typeof draftOf>) =>
      Object.fromEntries(
        draft.endpoints.flatMap(({ id, switchPorts: [cable] }) => (cable === undefined ? [] : [[id, cable]])),
      );
    fc.assert(
      fc.property(items, item, fc.nat(6), (list, added, at) => {
        const before = draftOf(equipment(list));
        const more = [...list.slice(0, at), { name: 'added', ...added }, ...list.slice(at)];
        const after = draftOf(equipment(more), { previous: before.endpoints });
        expect(numbers(after)).toMatchObject(numbers(before));
        expect(cables(after)).toMatchObject(cables(before));
        const given = after.endpoints.flatMap(({ address }) => address ?? []);
        expect(new Set(given).size).toBe(given.length);
        const holes = Object.values(cables(after)).map((cable) => JSON.stringify(cable));
        expect(new Set(holes).size).toBe(holes.length);
      }),
    );
  });

  test('what the previous list has and the equipment has not is given to nobody, and said', () => {
    const two = draftOf(equipment([{ name: 'a', count: 2, ports: [{ name: 'm', network: 'lan' }] }]));
    const after = draftOf(equipment([{ name: 'b', count: 1, ports: [{ name: 'm', network: 'lan' }] }]), {
      previous: two.endpoints,
    });
    expect(numbers(after)).toEqual({ 'b-1/m': '198.18.0.4' });
    expect(after.notes.map(noteText)).toEqual([
      expect.stringContaining('198.18.0.2 stays with a-1/m'),
      expect.stringContaining('198.18.0.3 stays with a-2/m'),
    ]);
  });

  test('a number that no longer fits is given anew, and said', () => {
    const list = (cidr: string) =>
      equipmentOf(
        `equipment: 1\nnetworks: [{ name: lan, cidr: ${cidr} }]\nitems: [{ name: a, ports: [{ name: m, network: lan }] }]\n`,
      );
    const after = draftOf(list('203.0.113.0/28'), { previous: draftOf(list('198.51.100.0/28')).endpoints });
    expect(numbers(after)).toEqual({ 'a-1/m': '203.0.113.1' });
    expect(after.notes).toEqual([
      { kind: 'not-kept', endpoint: 'a-1/m', address: '198.51.100.1', why: 'outside-network' },
    ]);
  });

  test('who answered in a survey has the address, save its own device from the previous list', () => {
    const list = equipment([{ name: 'a', count: 2, ports: [{ name: 'm', network: 'lan' }] }]);
    const previous = draftOf(
      equipment([{ name: 'a', count: 1, ports: [{ name: 'm', network: 'lan' }] }]),
    ).endpoints;
    const draft = draftOf(list, { previous, surveyed: ['198.18.0.2', '198.18.0.3', '203.0.113.9'] });
    expect(numbers(draft)).toEqual({ 'a-1/m': '198.18.0.2', 'a-2/m': '198.18.0.4' });
    expect(draft.networks[0]).toMatchObject({ inUse: 1, needed: 2, short: 0 });
    expect(draft.findings).toEqual([]);
    expect(draft.notes).toEqual([{ kind: 'kept-answers', endpoint: 'a-1/m', address: '198.18.0.2' }]);
  });
});
