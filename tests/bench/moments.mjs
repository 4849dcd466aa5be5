/** Loaded before the program by `node --import`: writes its moments (src/run/moment.ts) into MOMENTS_FILE when it ends, in their order. */
import { writeFileSync } from 'node:fs';
import { performance } from 'node:perf_hooks';

const PREFIX = 'matchmark: ';

process.on('exit', () => {
  const file = process.env.MOMENTS_FILE;
  if (file === undefined) return;
  const marks = performance.getEntriesByType('mark').filter(({ name }) => name.startsWith(PREFIX));
  const moments = marks.map(({ name, startTime }) => [name.slice(PREFIX.length), startTime]);
  moments.push(['ended', performance.now()]);
  writeFileSync(file, JSON.stringify(moments.sort((one, other) => one[1] - other[1])));
});
