/** As tests/lab/kill.test.ts, a hundred times. Wants `npm run build`. */
import { test } from 'vitest';
import { folderWith } from '../cli/run.js';
import { killAndResume } from '../support/kill-and-resume.js';

test('a check killed a hundred times and resumed says what an undisturbed one says', async () => {
  await killAndResume(folderWith({}), 100, Number(process.env.FUZZ_SEED ?? 7));
}, 1_800_000);
