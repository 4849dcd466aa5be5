import type { Command } from 'commander';
import { registerAttest } from './attest.js';
import { registerCheck } from './check.js';
import { registerCombine } from './combine.js';
import type { CliDeps } from './common.js';
import { registerCompare } from './compare.js';
import { registerCompletion } from './completion.js';
import { registerDemo } from './demo.js';
import { registerDraft } from './draft.js';
import { registerDrill } from './drill.js';
import { registerExplain } from './explain.js';
import { registerFollow } from './follow.js';
import { registerKit } from './kit.js';
import { registerReport } from './report.js';
import { registerReview } from './review.js';
import { registerSeal } from './seal.js';
import { registerSurvey } from './survey.js';
import { registerVerify } from './verify.js';

/** Adds one command to the program. `setStatus` takes the exit status. */
export type Register = (program: Command, deps: CliDeps, setStatus: (status: number) => void) => void;

/** In the order of a visit, which is the order of the help. */
export const COMMANDS: readonly Register[] = [
  registerDraft,
  registerReview,
  registerKit,
  registerSurvey,
  registerFollow,
  registerCheck,
  registerDrill,
  registerAttest,
  registerCombine,
  registerCompare,
  registerReport,
  registerSeal,
  registerVerify,
  registerExplain,
  registerDemo,
  registerCompletion,
];
