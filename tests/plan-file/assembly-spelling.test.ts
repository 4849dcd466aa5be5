import { expect, test } from 'vitest';
import { loadGood } from './helpers.js';

const LIST = `device,controller,port,network,address,group,switch
Vault-1,a,d0,Data,192.0.2.1/24,Vault-1 Data,Loft-Switch
vault-1,B,d0,data,192.0.2.2/24,vault-1 data,loft-switch
VAULT-1,A,d1,DATA,192.0.2.3/24,vault-1 data,loft-Switch
`;

test('without lists, the first spelling of a name is the name', async () => {
  const plan = await loadGood({ 'list.csv': LIST }, 'list.csv');
  expect(plan.endpoints.map((one) => [one.id, one.network, one.group, one.switch])).toEqual([
    ['Vault-1/a/d0', 'Data', 'Vault-1 Data', 'Loft-Switch'],
    ['Vault-1/B/d0', 'Data', 'Vault-1 Data', 'Loft-Switch'],
    ['Vault-1/a/d1', 'Data', 'Vault-1 Data', 'Loft-Switch'],
  ]);
  expect([plan.devices, plan.networks, plan.groups].map((list) => list.length)).toEqual([1, 1, 1]);
});

test('a listed spelling wins, and paths find their ends', async () => {
  const yaml = `plan: 1
networks: [{ name: data, cidr: 192.0.2.0/24 }]
devices: [{ name: vault-1, controllers: { A: { serial: "7" } } }, { name: loft-switch }, { name: press-1 }]
groups: [{ name: vault-1 data }, { name: paths, from: PRESS-1, to: VAULT-1 DATA }]
endpoints: list.csv
`;
  const plan = await loadGood({ 'plan.yaml': yaml, 'list.csv': LIST }, 'plan.yaml');
  expect(plan.endpoints.map((one) => [one.id, one.network, one.switch])).toEqual([
    ['vault-1/A/d0', 'data', 'loft-switch'],
    ['vault-1/B/d0', 'data', 'loft-switch'],
    ['vault-1/A/d1', 'data', 'loft-switch'],
  ]);
  expect(plan.groups).toMatchObject([
    { name: 'vault-1 data', members: ['vault-1/A/d0', 'vault-1/B/d0', 'vault-1/A/d1'] },
    { name: 'paths', from: 'press-1', to: 'vault-1 data' },
  ]);
});
