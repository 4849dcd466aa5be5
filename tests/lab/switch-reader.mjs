// Reads a switch's tables from the namespace that it is started in, with the built program, and prints them as JSON.
const [folder, address, community] = process.argv.slice(2);
const { readSwitchTables } = await import(`${folder}/src/snmp/switch-tables.js`);
const { Secret } = await import(`${folder}/src/plan/secret.js`);

const credential = { name: 'lab', version: '2c', port: 161, community: new Secret(community) };
const tables = await readSwitchTables(
  { address, credential, switch: 'loft-switch' },
  { timeoutMs: 1000, attempts: 3 },
  new AbortController().signal,
);
process.stdout.write(JSON.stringify(tables));
