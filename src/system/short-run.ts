/** The engine is told that runs are short. Its flags are no part of Node's promises: each is given only to a V8 that is known to have it. */
import { setFlagsFromString } from 'node:v8';

/** Majors of V8 and the Nodes that have them: 11 is Node 20, 12 is Node 22, 13 is Node 24 (`node --v8-options` of each). */
const V8 = Number.parseInt(process.versions.v8, 10);
const OPTIMISE_LATER: Readonly<Record<number, string>> = {
  11: '--interrupt-budget=600000',
  12: '--invocation-count-for-turbofan=12000',
  13: '--invocation-count-for-turbofan=12000',
};

/**
 * V8 makes a function that has run for a while faster, in a thread of its own. By default it begins so soon that in a check of 512 addresses
 * (two seconds of processor time) a third of the time went into code that hardly ran again; this is some four times later (V8's default:
 * 132 KB of bytecode, later 3,000 calls). What runs for hours becomes fast all the same.
 */
export function forAShortRun(): void {
  const flag = OPTIMISE_LATER[V8];
  if (flag !== undefined) setFlagsFromString(flag);
}

/** From so many endpoints on, memory is spared at the cost of a tenth of the processor time. */
const LARGE = 2000;

/**
 * V8 lets what is no longer used lie until its heap has grown by much: at 4,096 endpoints, of which 50 MB are in use, it took 310 MB from
 * the system. With these it is 200: new values get no more room, and the heap is cleaned when it has grown by a third. That has to be
 * said before the program and the plan are read (`endpoints` absent).
 */
export function forASiteOf(endpoints: number | undefined): void {
  if (OPTIMISE_LATER[V8] === undefined) return;
  const isLarge = endpoints === undefined || endpoints >= LARGE;
  setFlagsFromString(`--semi-space-growth-factor=${isLarge ? 1 : 2}`);
  // 0: as V8 thinks best.
  setFlagsFromString(`--heap-growing-percent=${isLarge ? 30 : 0}`);
}
