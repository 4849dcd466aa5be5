import fc from 'fast-check';
import { expect, test } from 'vitest';
import { stringify } from 'yaml';
import { addressListCsv, addressListRows } from '../../src/draft/address-list.js';
import { draftOf } from '../../src/draft/draft.js';
import { planText } from '../../src/draft/plan-text.js';
import { unsound } from '../../src/draft/unsound.js';
import { readAddressList } from '../../src/plan-file/address-list.js';
import { assemblePlan } from '../../src/plan-file/assembly/plan.js';
import { contentOf } from '../../src/plan-file/bytes.js';
import { COLUMNS } from '../../src/plan-file/columns.js';
import { Issues } from '../../src/plan-file/issues.js';
import { readPlanText } from '../../src/plan-file/plan-text.js';
import { isBlank } from '../../src/plan-file/reading.js';
import { workbookOf } from '../../src/plan-file/workbook-text.js';
import { reviewPlan } from '../../src/review/review.js';
import { lines } from '../plan-file/helpers.js';
import { rounds } from '../support/rounds.js';
import { equipmentOf } from './equipment.js';

/** Names with what CSV, YAML and people make of them; what is blank to a reader is no name. */
const name = fc
  .tuple(
    fc.constantFrom('', 'Ä', 'e,0', 'q"q', 'a;b', "it's", 'x\ty', 'port #', '雪', 'no', '1e3', '{'),
    fc.stringMatching(/^[a-z]{1,3}[0-9]{0,2}$/),
  )
  .map((parts) => parts.join('').trim())
  .filter((text) => !isBlank(text));

const networks = fc.uniqueArray(
  fc.record({
    block: fc.integer({ min: 0, max: 15 }),
    size: fc.integer({ min: 24, max: 32 }),
    gateway: fc.boolean(),
    reserved: fc.integer({ min: 0, max: 7 }),
    inUse: fc.integer({ min: 0, max: 9 }),
  }),
  { minLength: 1, maxLength: 3, selector: ({ block }) => block },
);

const port = fc.record({
  network: fc.nat(2),
  role: fc.constantFrom('management', 'data', 'host', 'switch', 'other'),
  services: fc.constantFrom('', 'https ssh snmp', 'https:8443', 'tcp/8443 udp/9', 'iscsi-target'),
  speed: fc.constantFrom('', '1G', '2.5G', '100M', '40000', '1.2345G'),
  mtu: fc.constantFrom('', '1500', '9000'),
  virtual: fc.constantFrom('', 'yes'),
  per: fc.constantFrom('controller', 'device'),
  group: fc.option(name, { nil: undefined }),
});

const equipment = fc
  .record({
    networks,
    items: fc.uniqueArray(
      fc.record({
        name,
        count: fc.integer({ min: 1, max: 4 }),
        controllers: fc.uniqueArray(fc.constantFrom('A', 'B', 'c 1'), { maxLength: 2 }),
        'switch-ports': fc.constantFrom([], [], ['1/1-1/9'], ['p 1', 'xg-3']),
        ports: fc.uniqueArray(fc.tuple(name, port), {
          minLength: 1,
          maxLength: 3,
          selector: ([text]) => text.toLowerCase(),
        }),
      }),
      { minLength: 1, maxLength: 3, selector: (one) => one.name.toLowerCase() },
    ),
  })
  .map(({ networks: nets, items }) =>
    stringify({
      equipment: 1,
      networks: nets.map(({ block, size, gateway, reserved, inUse }, index) => ({
        name: `net ${index}`,
        cidr: `198.18.${block}.0/${size}`,
        ...(gateway && size < 31 ? { gateway: `198.18.${block}.1` } : {}),
        reserved: [`198.18.${block}.2-198.18.${block}.${2 + reserved}`],
        'in-use': [`198.18.${block}.${inUse}`],
      })),
      items: items.map((item) => ({
        ...item,
        ports: item.ports.map(([text, { network, ...rest }]) => ({
          name: text,
          network: `net ${network % nets.length}`,
          ...rest,
        })),
      })),
    }),
  );

/** Findings of the review that concern addresses and networks. */
const ADDRESS_CODES = new Set([
  'address-duplicate',
  'address-outside-network',
  'address-reserved',
  'address-is-network-or-broadcast',
  'address-is-gateway',
  'mask-mismatch',
  'networks-overlap',
  'gateway-outside-network',
  'not-enough-addresses',
]);

test('any equipment list whose networks suffice -> a list and a plan without an address finding, as drafted', async () => {
  let sufficed = 0;
  await fc.assert(
    fc.asyncProperty(equipment, async (text) => {
      const read = equipmentOf(text);
      fc.pre(unsound(read, 20_000).length === 0);
      const draft = draftOf(read);
      const addresses = draft.endpoints.flatMap(({ address }) => address ?? []);
      expect(new Set(addresses).size).toBe(addresses.length);
      expect(draft.suffices).toBe(addresses.length === draft.endpoints.length);
      for (const { usable, reserved, inUse, free, needed, left, short } of draft.networks) {
        expect(usable - reserved - inUse).toBe(free);
        expect(left - short).toBe(free - needed);
      }
      if (!draft.suffices) return;
      sufficed += 1;

      const issues = new Issues();
      const bytes = new TextEncoder().encode(addressListCsv(addressListRows(draft.endpoints, COLUMNS)));
      expect(contentOf(bytes)).toMatchObject({ kind: 'text', encoding: 'utf-8' });
      const rows = await readAddressList(bytes, 'address-list.csv', issues);
      const shared = { rows, rowsComplete: true, directory: '', fallbackName: 'x' };
      const alone = assemblePlan({ ...shared, written: {}, locate: () => ({ file: 'x' }) }, issues);
      expect(lines(issues.all)).toEqual([]);
      const bare = ({ at: _at, ...endpoint }: (typeof alone.endpoints)[number]) => endpoint;
      expect(alone.endpoints.map(bare)).toEqual(draft.endpoints.map(bare));

      const workbook = await workbookOf('Addresses', addressListRows(draft.endpoints, COLUMNS));
      const fromWorkbook = await readAddressList(workbook, 'address-list.xlsx', issues);
      expect(lines(issues.all)).toEqual([]);
      expect(fromWorkbook.map(({ written }) => written)).toEqual(rows.map(({ written }) => written));

      const whole = readPlanText(planText(draft.plan, 'address-list.csv'), 'plan.yaml', issues);
      if (whole?.written === undefined) throw new Error(lines(issues.all).join('\n'));
      const plan = assemblePlan({ ...shared, written: whole.written, locate: whole.locate }, issues);
      expect(lines(issues.all)).toEqual([]);
      for (const reviewed of [alone, plan]) {
        const { findings } = reviewPlan({ ...reviewed, files: [] });
        expect(findings.filter(({ code }) => ADDRESS_CODES.has(code)).map(({ message }) => message)).toEqual(
          [],
        );
      }
    }),
    { numRuns: rounds(40, 100) },
  );
  // The property would hold of nothing where no list ever sufficed.
  expect(sufficed).toBeGreaterThan(10);
});

test('a list that is ASCII has no byte order mark, another has one, for spreadsheets', () => {
  const list = (text: string) =>
    addressListCsv(
      addressListRows(
        draftOf(equipmentOf(`equipment: 1\nitems: [{ name: ${text}, ports: [{ name: m }] }]\n`)).endpoints,
        COLUMNS,
      ),
    );
  expect(list('vault')).toMatch(/^device,controller,port,/);
  expect(list('Tür')).toMatch(/^\ufeffdevice,/);
});
