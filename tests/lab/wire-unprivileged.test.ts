/** Wrong claimants, by each way of asking of somebody without administrator rights. */
import { checksByWay } from './support/wire-checks.js';
import { WAYS } from './support/wire-run.js';

// By capture first: devices asked in an earlier run ask back within 5 s (RFC 4861 §10), and by that the laptop would know them unasked (RFC 826).
checksByWay(
  WAYS.filter(([, { as }]) => as !== undefined).toSorted(
    ([, a], [, b]) => Number(b.as === 'captor') - Number(a.as === 'captor'),
  ),
);
