export { type Gap, GapMeter, type Sample } from './gap-meter.js';
export { type Downtime, groupDowntime, judgeStep, recordStep, type StepTimes } from './outcome.js';
export { type DrillStep, planDrill, summariseDrill } from './plan.js';
