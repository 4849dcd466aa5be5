/** Wrong claimants, by each way of asking of somebody who is administrator. */
import { checksByWay } from './support/wire-checks.js';
import { WAYS } from './support/wire-run.js';

checksByWay(WAYS.filter(([, { as }]) => as === undefined));
