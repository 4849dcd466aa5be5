import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { stringify } from 'yaml';
import { draftOf } from '../../src/draft/draft.js';
import { readSheet } from '../../src/plan-file/address-list.js';
import { assembleEquipment, type Equipment } from '../../src/plan-file/equipment.js';
import { readEquipmentTable } from '../../src/plan-file/equipment-table.js';
import { Issues } from '../../src/plan-file/issues.js';
import { workbookOf } from '../../src/plan-file/workbook-text.js';
import { equipmentOf } from '../draft/equipment.js';
import { lines } from './helpers.js';

async function read(bytes: Uint8Array): Promise<{ equipment: Equipment | undefined; issues: string[] }> {
  const issues = new Issues();
  const sheet = await readSheet(bytes, 'e.csv', issues);
  const table = sheet && readEquipmentTable(sheet.rows, sheet.at, issues);
  const equipment = table && assembleEquipment(table.written, table.locate, 'e', issues);
  return { equipment, issues: lines(issues.all) };
}
const csv = (text: string): Uint8Array => new TextEncoder().encode(text);

const TABLE = `Name;Count;Controllers;Port;Role;Network;CIDR;Gateway;Services;Feeds;Switch Ports;Serves
vault;2;A, B;mgmt;management;mgmt;192.0.2.0/24;192.0.2.1;https ssh;A, B;;
;;;data0;data;data-a;198.51.100.0/25;;iscsi-target;;;
;;;data1;data;data-b;198.51.100.128/25;;iscsi-target;;;
loft;2;;mgmt;switch;mgmt;;;ssh;;1/1-1/12;mgmt, data-a, data-b
`;
const YAML = {
  equipment: 1,
  networks: [
    { name: 'mgmt', cidr: '192.0.2.0/24', gateway: '192.0.2.1' },
    { name: 'data-a', cidr: '198.51.100.0/25' },
    { name: 'data-b', cidr: '198.51.100.128/25' },
  ],
  items: [
    {
      name: 'vault',
      count: 2,
      controllers: ['A', 'B'],
      feeds: ['A', 'B'],
      ports: [
        { name: 'mgmt', role: 'management', network: 'mgmt', services: 'https ssh' },
        { name: 'data0', role: 'data', network: 'data-a', services: 'iscsi-target' },
        { name: 'data1', role: 'data', network: 'data-b', services: 'iscsi-target' },
      ],
    },
    {
      name: 'loft',
      count: 2,
      'switch-ports': ['1/1-1/12'],
      serves: ['mgmt', 'data-a', 'data-b'],
      ports: [{ name: 'mgmt', role: 'switch', network: 'mgmt', services: 'ssh' }],
    },
  ],
};

describe('an equipment list as a table', () => {
  test.each([
    ['CSV', () => csv(TABLE)],
    [
      'XLSX',
      () =>
        workbookOf(
          'Equipment',
          TABLE.trimEnd()
            .split('\n')
            .map((line) => line.split(';')),
        ),
    ],
  ])('%s says what YAML says', async (_form, bytes) => {
    const { equipment, issues } = await read(await bytes());
    expect(issues).toEqual([]);
    const rows = (given: Equipment | undefined) =>
      given && draftOf(given).endpoints.map(({ at: _at, ...endpoint }) => endpoint);
    expect(rows(equipment)).toEqual(rows(equipmentOf(stringify(YAML))));
  });

  test.each([
    ['a network that nobody described', 'name,port,network\nv,m,lan,\n', []],
    ['a wrong number', 'name,port,count\nv,m,many\n', ['e.csv, row 2, column "count": found "many"']],
    ['a wrong role', 'name,port,role\nv,m,king\n', ['e.csv, row 2, column "role": found "king"']],
    [
      'two meanings of one thing',
      'name,port,network,cidr\nv,m,lan,192.0.2.0/24\nv,n,lan,198.51.100.0/24\n',
      ['e.csv, row 3, column "cidr": found "198.51.100.0/24", expected "192.0.2.0/24", as further up'],
    ],
    ['no name to begin with', 'name,port\n,m\n', ['e.csv, row 2, column "name"']],
    ['no header', 'a,b\nc,d\n', ['e.csv: ']],
    ['a port twice in columns', 'name,port,port\nv,m,n\n', ['e.csv, row 1, column "port"']],
    [
      'several in one cell without commas',
      'name,port,controllers,feeds\nv,m,A B,"A, B"\n',
      ['e.csv, row 2, column "controllers": "A B" was read as one name; for several write "A, B"'],
    ],
    ['a run that goes down', 'name,port,switch-ports\nv,m,1/9-1/3\n', ['a run upward of at most 1000 ports']],
  ])('%s', async (_name, text, said) => {
    const { issues } = await read(csv(text));
    expect(issues).toHaveLength(said.length);
    said.forEach((words, index) => {
      expect(issues[index]).toContain(words);
    });
  });
});

test('the annotated example names every key that an item may have', () => {
  const text = readFileSync(new URL('../../fixtures/equipment.yaml', import.meta.url), 'utf8');
  for (const key of [
    'controllers',
    'feeds',
    'default-addresses',
    'switch-ports',
    'serves',
    'observe',
    'in-use',
    'per',
  ])
    expect(text).toContain(`${key}:`);
});
