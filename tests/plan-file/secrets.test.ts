/** No secret ever reaches an error text (DESIGN 3). */
import { inspect } from 'node:util';
import { expect, test } from 'vitest';
import { lines, load, loadGood } from './helpers.js';

const LIST = 'device,port,address\nvault-1,mgmt,192.0.2.11/24\n';
const SECRET = 'hunter-secret-7';

test.each([
  ['a community under a wrong key', `snmp: { site-ro: { comunity: ${SECRET} } }`],
  ['a community as the credential itself', `snmp: { site-ro: ${SECRET} }`],
  ['a community as the whole block', `snmp: ${SECRET}`],
  ['a list of communities', `snmp: { site-ro: { community: [${SECRET}] } }`],
  [
    'a key beside a wrong level',
    `snmp: { site-ro: { version: 3, user: u, level: full, authKey: ${SECRET} } }`,
  ],
  ['a line that is not well-formed', `snmp: { site-ro: { community: "${SECRET} } }`],
  ['a community twice', `snmp: { site-ro: { community: ${SECRET}, community: ${SECRET} } }`],
  ['a community where the name of a credential belongs', `devices: [{ name: vault-1, snmp: ${SECRET} }]`],
])('%s is not quoted', async (_what, yaml) => {
  const loaded = await load(
    { 'plan.yaml': `plan: 1\nendpoints: list.csv\n${yaml}\n`, 'list.csv': LIST },
    'plan.yaml',
  );
  expect(loaded.ok).toBe(false);
  expect(lines(loaded.issues).length).toBeGreaterThan(0);
  expect(lines(loaded.issues).join('\n') + JSON.stringify(loaded.issues)).not.toContain(SECRET);
});

test('a literal secret cannot be printed from the plan', async () => {
  const yaml = `plan: 1\nendpoints: list.csv\nsnmp:\n  site-ro: { version: 2c, community: ${SECRET} }\n`;
  const plan = await loadGood({ 'plan.yaml': yaml, 'list.csv': LIST }, 'plan.yaml');
  const { community } = plan.snmp['site-ro'] ?? {};
  expect(community?.kind === 'literal' && community.value.reveal()).toBe(SECRET);
  expect(JSON.stringify(plan) + inspect(plan, { depth: 9 })).not.toContain(SECRET);
});

test('env: and file: are kept as places; file: is relative to the plan', async () => {
  const yaml = `plan: 1\nendpoints: list.csv\nsnmp:\n  a: { community: "env:SITE_SNMP" }\n  b: { community: "file:keys/ro" }\n  c: { community: "file:/etc/ro" }\n`;
  const plan = await loadGood({ 'plan.yaml': yaml, 'list.csv': LIST }, 'plan.yaml');
  expect(plan.snmp.a?.community).toEqual({ kind: 'env', name: 'SITE_SNMP' });
  expect(plan.snmp.b?.community).toMatchObject({
    kind: 'file',
    path: expect.stringMatching(/^\/.*\/keys\/ro$/),
  });
  expect(plan.snmp.c?.community).toEqual({ kind: 'file', path: '/etc/ro' });
});
