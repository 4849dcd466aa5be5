// Settles presence in the namespace that it is started in, with the built program, and prints what came of it as JSON.
const [folder, requestText] = process.argv.slice(2);
const request = JSON.parse(requestText);
const { findPresent } = await import(`${folder}/src/presence/find-present.js`);
const { openDatagrams } = await import(`${folder}/src/presence/datagrams.js`);
const { readVantage } = await import(`${folder}/src/kit/read-vantage.js`);
const { thisSystem } = await import(`${folder}/src/system/this-system.js`);

const system = thisSystem();
const found = await readVantage('lab', system);
const off = (name) =>
  request.without.includes(name) ? { able: false, reason: 'left out by this test' } : found.abilities[name];
const vantage = {
  ...found,
  abilities: { ...found.abilities, capture: off('capture'), arping: off('arping') },
};
const clock = { now: () => performance.now(), date: () => new Date() };
const startedMs = clock.now();
const firstMs = {};
const settled = await findPresent(
  {
    addresses: request.addresses,
    vantage,
    deviceOf: new Map(Object.entries(request.deviceOf ?? {})),
    networks: request.networks,
  },
  { system, clock, datagrams: openDatagrams },
  new AbortController().signal,
  (address) => {
    firstMs[address] = clock.now() - startedMs;
  },
);
process.stdout.write(
  JSON.stringify({
    abilities: vantage.abilities,
    totalMs: clock.now() - startedMs,
    firstMs,
    presence: Object.fromEntries(settled.presence),
    proxyArp: settled.proxyArp,
    ownNeighbours: settled.ownNeighbours,
    notes: settled.notes,
  }),
);
