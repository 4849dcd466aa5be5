import { defineConfig } from 'vitest/config';

const shared = { pool: 'forks', testTimeout: 20_000 } as const;

/** Lab tests that hold times or fill the kernel's neighbour table, which all namespaces share: nothing may run beside them. */
const MEASURING = ['presence', 'drill', 'follow', 'wire-speed', 'visit', 'wire'].map(
  (name) => `tests/lab/${name}.test.ts`,
);

export default defineConfig({
  test: {
    projects: [
      {
        test: {
          ...shared,
          name: 'unit',
          // Files share a process and its modules: loading them anew for each took most of the time. A test that changes something
          // global puts it back.
          isolate: false,
          // One after the other: the lab and the page measure times.
          sequence: { groupOrder: 0 },
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/lab/**', 'tests/page/**', 'tests/long/**', 'tests/release/**'],
        },
      },
      {
        // Mostly waiting: three sites at a time take no more than one after the other.
        test: {
          ...shared,
          name: 'lab',
          sequence: { groupOrder: 2 },
          include: ['tests/lab/**/*.test.ts'],
          exclude: MEASURING,
          testTimeout: 180_000,
          hookTimeout: 120_000,
          maxWorkers: 3,
          // Real agents and switches answer when they will: what fails once on a busy machine is asked once more, and shows as retried.
          retry: 1,
        },
      },
      {
        test: {
          ...shared,
          name: 'lab-alone',
          sequence: { groupOrder: 3 },
          include: MEASURING,
          testTimeout: 180_000,
          hookTimeout: 120_000,
          retry: 1,
          fileParallelism: false,
        },
      },
      {
        test: {
          ...shared,
          name: 'page',
          retry: 1,
          sequence: { groupOrder: 1 },
          include: ['tests/page/**/*.test.ts'],
          testTimeout: 90_000,
          hookTimeout: 60_000,
          fileParallelism: false,
        },
      },
      {
        // What people carry, run for real; wants `npm run build`, and Wine for the Windows program.
        test: {
          ...shared,
          name: 'release',
          retry: 1,
          sequence: { groupOrder: 5 },
          include: ['tests/release/**/*.test.ts'],
          globalSetup: ['tests/release/support/setup.ts'],
          testTimeout: 180_000,
          hookTimeout: 180_000,
          // Most of the time goes to programs that are started one after the other: two files at a time keep two processors busy.
          maxWorkers: 2,
        },
      },
      {
        // Not in CI: measures against a shell loop, by `npm run bench`.
        test: {
          ...shared,
          name: 'bench',
          sequence: { groupOrder: 4 },
          include: ['tests/bench/**/*.bench.ts'],
          testTimeout: 600_000,
          hookTimeout: 60_000,
          fileParallelism: false,
        },
      },
      {
        // Not in CI: minutes of fuzzing, by `npm run fuzz`.
        test: {
          ...shared,
          name: 'long',
          sequence: { groupOrder: 4 },
          include: ['tests/long/**/*.test.ts'],
          testTimeout: 600_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
