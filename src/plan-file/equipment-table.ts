/**
 * An equipment list as a table, a row a port: a spreadsheet does for those who write no YAML. Columns are the keys of the YAML form.
 * An empty `name` is the item of the row above; an item's and a network's own columns need to be filled in once.
 */
import type { SourceRef } from '../plan/model.js';
import type { Locate } from './assembly/networks.js';
import type { Issues } from './issues.js';
import { type KeyedRow, readKeyedTable } from './keyed-table.js';
import { equipmentSchema, type WrittenEquipment } from './schema.js';
import type { SheetRow } from './table.js';
import { type Path, reportZod } from './zod-issues.js';

const ITEM_COLUMNS = [
  'count',
  'controllers',
  'default-addresses',
  'snmp',
  'feeds',
  'switch-ports',
  'serves',
] as const;
const PORT_COLUMNS = [
  'role',
  'network',
  'services',
  'media',
  'group',
  'speed',
  'mtu',
  'virtual',
  'per',
] as const;
const NETWORK_COLUMNS = ['cidr', 'gateway', 'vlan', 'routed', 'reserved', 'in-use'] as const;
const EQUIPMENT_COLUMNS = ['name', 'port', ...ITEM_COLUMNS, ...PORT_COLUMNS, ...NETWORK_COLUMNS] as const;
type EquipmentColumn = (typeof EQUIPMENT_COLUMNS)[number];
type Row = KeyedRow<EquipmentColumn>;

/** A thing of the list as it is put together from rows: its keys, and where each stood. */
interface Gathered {
  readonly keys: Record<string, unknown>;
  readonly at: SourceRef;
  readonly places: Map<string, SourceRef>;
}

interface GatheredItem extends Gathered {
  readonly ports: Gathered[];
}

export function readEquipmentTable(
  rows: readonly SheetRow[],
  at: SourceRef,
  issues: Issues,
): { written: WrittenEquipment; locate: Locate } | undefined {
  const items = new Map<string, GatheredItem>();
  const networks = new Map<string, Gathered>();
  let last: string | undefined;
  for (const row of readKeyedTable(rows, EQUIPMENT_COLUMNS, ['name', 'port'], at, issues)) {
    const name: string | undefined = row.cells.get('name') ?? last;
    if (name === undefined) {
      issues.error('missing-value', row.atColumn('name'), { expected: 'what the devices are called' });
      continue;
    }
    last = name;
    const item = items.get(name) ?? { ...gathered({ name }, row.at), ports: [] };
    items.set(name, item);
    fill(item, row, ITEM_COLUMNS, issues);
    for (const column of ['controllers', 'feeds'] as const) noteOneName(row, column, issues);
    const port = row.cells.get('port');
    if (port !== undefined) {
      const made = gathered({ name: port }, row.atColumn('port'));
      fill(made, row, PORT_COLUMNS, issues);
      item.ports.push(made);
    }
    const network = row.cells.get('network');
    if (network !== undefined) {
      const made = networks.get(network) ?? gathered({ name: network }, row.atColumn('network'));
      networks.set(network, made);
      fill(made, row, NETWORK_COLUMNS, issues);
    }
  }
  if (issues.hasErrors) return undefined;
  const listedItems = [...items.values()];
  const listedNetworks = [...networks.values()];
  const tree = {
    equipment: '1',
    networks: listedNetworks.map(({ keys }) => keys),
    items: listedItems.map(({ keys, ports }) => ({ ...keys, ports: ports.map((port) => port.keys) })),
  };
  const locate: Locate = (path) => placeOf(path, listedItems, listedNetworks) ?? at;
  const parsed = equipmentSchema.safeParse(tree);
  if (parsed.success) return { written: parsed.data, locate };
  reportZod(parsed.error, tree, locate, issues);
  return undefined;
}

function gathered(keys: Record<string, unknown>, at: SourceRef): Gathered {
  return { keys, at, places: new Map() };
}

/** A second value for the same thing has to be the same. */
function fill(thing: Gathered, row: Row, columns: readonly EquipmentColumn[], issues: Issues): void {
  for (const column of columns) {
    const text = row.cells.get(column);
    if (text === undefined) continue;
    const before = thing.keys[column];
    if (before === undefined) {
      thing.keys[column] = text;
      thing.places.set(column, row.atColumn(column));
    } else if (before !== text)
      issues.error('bad-value', row.atColumn(column), {
        found: text,
        expected: `"${String(before)}", as further up, or an empty cell`,
      });
  }
}

/** Services of the same table are separated by blanks: who writes `A B` here as well has one controller in two words. */
function noteOneName(row: Row, column: EquipmentColumn, issues: Issues): void {
  const text = row.cells.get(column)?.trim() ?? '';
  if (/\s/.test(text) && !/[,;]/.test(text))
    issues.note('one-name', row.atColumn(column), { found: text, expected: text.split(/\s+/).join(', ') });
}

function placeOf(
  path: Path,
  items: readonly GatheredItem[],
  networks: readonly Gathered[],
): SourceRef | undefined {
  const [root, index, key, port, portKey] = path;
  if (root === 'networks') return within(networks[Number(index)], key);
  if (root !== 'items') return undefined;
  const item = items[Number(index)];
  return key === 'ports' && port !== undefined
    ? within(item?.ports[Number(port)], portKey)
    : within(item, key);
}

function within(thing: Gathered | undefined, key: PropertyKey | undefined): SourceRef | undefined {
  return thing?.places.get(String(key)) ?? thing?.at;
}
