// Serves rows of a JSON file, `[[oid, type, value], ...]`, for snmpd's `pass_persist`. Read anew each time, so that a test can change it.
import { readFileSync } from 'node:fs';
import { createInterface } from 'node:readline';

const [file] = process.argv.slice(2);

const numbers = (oid) => oid.split('.').filter(Boolean).map(Number);

function compare(a, b) {
  for (let at = 0; at < Math.min(a.length, b.length); at += 1) if (a[at] !== b[at]) return a[at] - b[at];
  return a.length - b.length;
}

const rows = () =>
  JSON.parse(readFileSync(file, 'utf8'))
    .map(([oid, type, value]) => ({ oid: numbers(oid), type, value }))
    .sort((a, b) => compare(a.oid, b.oid));

const say = (row) =>
  process.stdout.write(row === undefined ? 'NONE\n' : `.${row.oid.join('.')}\n${row.type}\n${row.value}\n`);

let command;
for await (const line of createInterface({ input: process.stdin })) {
  if (command === undefined) {
    if (line === 'PING') process.stdout.write('PONG\n');
    else if (line === 'get' || line === 'getnext') command = line;
    continue;
  }
  const asked = numbers(line);
  say(
    command === 'get'
      ? rows().find(({ oid }) => compare(oid, asked) === 0)
      : rows().find(({ oid }) => compare(oid, asked) > 0),
  );
  command = undefined;
}
