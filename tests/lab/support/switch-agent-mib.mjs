// BRIDGE-MIB (RFC 4188) and, with a VLAN given, Q-BRIDGE-MIB (RFC 4363) of one Linux bridge, for snmpd's `pass_persist`.
// It tells what `bridge -j fdb` and `ip -j link` tell, and keeps nothing of its own. Arguments: bridge, [VLAN, fdbId].
import { execFileSync } from 'node:child_process';
import { createInterface } from 'node:readline';

const [bridge, vlan, fdbId] = process.argv.slice(2);
const ROOT = [1, 3, 6, 1, 2, 1, 17];
/** dot1dTpFdbStatus: learned, self, mgmt. */
const LEARNED = 3;
const SELF = 4;
const MGMT = 5;

const json = (command, ...args) => JSON.parse(execFileSync(command, args, { encoding: 'utf8' }) || '[]');
const octets = (mac) => mac.split(':').map((octet) => Number.parseInt(octet, 16));
const hex = (mac) => mac.replaceAll(':', ' ');
const statusOf = ({ state }) => (state === 'permanent' ? SELF : state === 'static' ? MGMT : LEARNED);

function rows() {
  const [own] = json('ip', '-j', 'link', 'show', bridge);
  const ports = json('ip', '-j', '-d', 'link', 'show', 'master', bridge).map((link) => ({
    name: link.ifname,
    ifIndex: link.ifindex,
    number: Number(link.linkinfo.info_slave_data.no),
  }));
  const numberOf = new Map(ports.map(({ name, number }) => [name, number]));
  // Entries with a master are the bridge's; the others are filters of the interfaces themselves.
  const entries = json('bridge', '-j', 'fdb', 'show', 'br', bridge).filter(
    (entry) => entry.master === bridge && numberOf.has(entry.ifname) && octets(entry.mac)[0] % 2 === 0,
  );
  const all = [
    [[1, 1, 0], 'octet', hex(own.address)],
    [[1, 2, 0], 'integer', ports.length],
    ...ports.flatMap(({ number, ifIndex }) => [
      [[1, 4, 1, 1, number], 'integer', number],
      [[1, 4, 1, 2, number], 'integer', ifIndex],
    ]),
    ...entries.flatMap((entry) => [
      [[4, 3, 1, 1, ...octets(entry.mac)], 'octet', hex(entry.mac)],
      [[4, 3, 1, 2, ...octets(entry.mac)], 'integer', numberOf.get(entry.ifname)],
      [[4, 3, 1, 3, ...octets(entry.mac)], 'integer', statusOf(entry)],
    ]),
  ];
  if (vlan !== undefined)
    all.push(
      ...entries.flatMap((entry) => [
        [[7, 1, 2, 2, 1, 2, Number(fdbId), ...octets(entry.mac)], 'integer', numberOf.get(entry.ifname)],
        [[7, 1, 2, 2, 1, 3, Number(fdbId), ...octets(entry.mac)], 'integer', statusOf(entry)],
      ]),
      [[7, 1, 4, 2, 1, 3, 0, Number(vlan)], 'gauge', Number(fdbId)],
    );
  return all
    .map(([oid, type, value]) => ({ oid: [...ROOT, ...oid], type, value }))
    .sort((a, b) => compare(a.oid, b.oid));
}

function compare(a, b) {
  for (let at = 0; at < Math.min(a.length, b.length); at += 1) if (a[at] !== b[at]) return a[at] - b[at];
  return a.length - b.length;
}

let held = [];
let heldAt = 0;
/** A walk asks row by row: one look at the bridge serves for half a second. */
function current() {
  if (performance.now() - heldAt > 500 || heldAt === 0) {
    held = rows();
    heldAt = performance.now();
  }
  return held;
}

const say = (row) =>
  process.stdout.write(row === undefined ? 'NONE\n' : `.${row.oid.join('.')}\n${row.type}\n${row.value}\n`);

let command;
for await (const line of createInterface({ input: process.stdin })) {
  if (command === undefined) {
    if (line === 'PING') process.stdout.write('PONG\n');
    else if (line === 'get' || line === 'getnext') command = line;
    continue;
  }
  const asked = line.split('.').filter(Boolean).map(Number);
  say(
    command === 'get'
      ? current().find(({ oid }) => compare(oid, asked) === 0)
      : current().find(({ oid }) => compare(oid, asked) > 0),
  );
  command = undefined;
}
