/** Killed at random moments and resumed: no result is lost (issue 13.13). A hundred times: tests/long/kill.test.ts. */
import { test } from 'vitest';
import { folderWith } from '../cli/run.js';
import { killAndResume } from '../support/kill-and-resume.js';

test('a check killed five times and resumed says what an undisturbed one says', async () => {
  await killAndResume(folderWith({}), 5, 20_301_231);
}, 900_000);
