// Put before a program by NODE_OPTIONS=--require: every 15 s the heap is collected and measured, one JSON line each, into $HEAP_SAMPLES.
const { appendFileSync } = require('node:fs');
const v8 = require('node:v8');
const vm = require('node:vm');

const EVERY_MS = 15_000;
const file = process.env.HEAP_SAMPLES;
if (file !== undefined && process.argv.includes('follow')) {
  v8.setFlagsFromString('--expose-gc');
  const collect = vm.runInNewContext('gc');
  setInterval(() => {
    collect();
    const { heapUsed, rss } = process.memoryUsage();
    appendFileSync(
      file,
      `${JSON.stringify({ atS: process.uptime(), heapMb: heapUsed / 2 ** 20, rssMb: rss / 2 ** 20 })}\n`,
    );
  }, EVERY_MS).unref();
}
