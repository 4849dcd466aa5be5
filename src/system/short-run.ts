/** The engine is told that runs are short. */
import { setFlagsFromString } from 'node:v8';

/**
 * V8 makes a function that has run for a while faster, in a thread of its own. By default it begins so soon that in a check of 512 addresses
 * (two seconds of processor time) a third of the time went into code that hardly ran again; this is some four times later (V8's default:
 * 132 KB of bytecode). What runs for hours becomes fast all the same.
 */
export function forAShortRun(): void {
  setFlagsFromString('--interrupt-budget=600000');
}

/** From so many endpoints on, memory is spared at the cost of a tenth of the processor time. */
const LARGE = 2000;

/**
 * V8 lets what is no longer used lie until its heap has grown by much: at 4,096 endpoints, of which 50 MB are in use, it took 310 MB from
 * the system. With these it is 200: new values get no more room, and the heap is cleaned when it has grown by a third. That has to be
 * said before the program and the plan are read (`endpoints` absent).
 */
export function forASiteOf(endpoints: number | undefined): void {
  const isLarge = endpoints === undefined || endpoints >= LARGE;
  setFlagsFromString(`--semi-space-growth-factor=${isLarge ? 1 : 2}`);
  // 0: as V8 thinks best.
  setFlagsFromString(`--heap-growing-percent=${isLarge ? 30 : 0}`);
}
