export { type Gap, GapMeter, type Sample } from './gap-meter.js';
export { type Downtime, groupDowntime, judgeStep, recordStep, type StepTimes } from './outcome.js';
export { asIfLive, type DrillStep, planDrill, summariseDrill } from './plan.js';
export { type Pull, pullsOf } from './pulls.js';
export { isDone, keptRecords, lastRecord } from './remaining.js';
export { isBlind, type Sight, sightOf, sightOfPlan, type Unwatched, visibility } from './watchable.js';
