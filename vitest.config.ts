import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Files share a process and its modules: loading them anew for each took most of the time. A test that changes something global puts it back. */
const shared = { pool: 'forks', isolate: false, testTimeout: 20_000 } as const;
/** Real agents, switches and browsers answer when they will: what fails on a busy machine is asked up to twice more, and shows as retried. */
const AGAIN = 2;
const few = { rounds: 'few' } as const;

const inLab = (name: string): string => `tests/lab/${name}.test.ts`;
/** Lab tests that hold times, with nothing beside them that has the same claim to the processors. */
const TIMING = ['drill', 'interrupt', 'start-up', 'pace', 'silent-device'].map(inLab);
/** The same, and they fill the kernel's neighbour table, which all namespaces share: one after the other. */
const FILLING = ['presence-times', 'wire-speed'].map(inLab);
/** Watches for a minute, and takes next to nothing. */
const FOLLOWING = ['follow'].map(inLab);

/** Unit tests that wait, and hold how long: with nothing that computes beside them. */
const WAITING = [
  ...[
    'plan-file/workbook',
    'run/device-cost',
    'drill/sampler',
    'follow/loop',
    'contract/probe.contract',
    'system/programs',
  ],
  ...['capture', 'datagrams', 'find-present', 'windows'].map((name) => `presence/${name}`),
  ...['fault-table', 'http', 'icmp', 'iscsi', 'path-mtu', 'service-question', 'services', 'tcp'].map(
    (name) => `probe/${name}`,
  ),
  ...['agent', 'ceilings', 'columns', 'switch-tables', 'walk'].map((name) => `snmp/${name}`),
].map((name) => `tests/${name}.test.ts`);

/** What does more of the same by `npm run test:long` (tests/support/rounds.ts). */
const BY_ROUNDS = [
  'tests/draft/reads-back.test.ts',
  'tests/findings/plan.test.ts',
  'tests/lab/check.test.ts',
  'tests/lab/loss-check.test.ts',
  'tests/lab/wire-speed.test.ts',
  'tests/page/size.test.ts',
  'tests/verdicts/properties.test.ts',
  'tests/verdicts/size.test.ts',
];

/** The longest first, so that none is begun when all others are done; then by size, as Vitest does. */
const LONGEST = [
  'visit',
  'remote-ports',
  'contract',
  'wine',
  'presence',
  'scope',
  'defaults',
  'check',
  'wire-strangers',
  'print',
];

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification): number => {
      const at = LONGEST.findIndex((name) => moduleId.endsWith(`/${name}.test.ts`));
      return at < 0 ? LONGEST.length : at;
    };
    return (await super.sort(files)).toSorted((a, b) => place(a) - place(b));
  }
}

// `npm test` runs projects side by side (tests/run-all.js); within one run the groups come one after the other.
export default defineConfig({
  test: {
    sequence: { sequencer: LongestFirst },
    projects: [
      {
        test: {
          ...shared,
          name: 'unit',
          provide: few,
          setupFiles: ['tests/support/fixed-seed.ts'],
          sequence: { groupOrder: 1 },
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/lab/**', 'tests/page/**', 'tests/long/**', 'tests/release/**', ...WAITING],
          testTimeout: 120_000,
          maxWorkers: 2,
        },
      },
      {
        test: {
          ...shared,
          name: 'unit-waiting',
          provide: few,
          setupFiles: ['tests/support/fixed-seed.ts'],
          sequence: { groupOrder: 0 },
          include: WAITING,
          maxWorkers: 1,
        },
      },
      {
        test: {
          ...shared,
          name: 'page',
          retry: AGAIN,
          provide: few,
          sequence: { groupOrder: 2 },
          include: ['tests/page/**/*.test.ts'],
          testTimeout: 90_000,
          hookTimeout: 60_000,
          maxWorkers: 2,
        },
      },
      {
        // Mostly waiting: four sites at a time.
        test: {
          ...shared,
          name: 'lab',
          retry: AGAIN,
          provide: few,
          sequence: { groupOrder: 3 },
          include: ['tests/lab/**/*.test.ts'],
          exclude: [...TIMING, ...FILLING, ...FOLLOWING],
          testTimeout: 180_000,
          hookTimeout: 120_000,
          maxWorkers: 4,
        },
      },
      {
        // What people carry, run for real; wants `npm run build`, and Wine for the Windows program.
        test: {
          ...shared,
          name: 'release',
          retry: AGAIN,
          sequence: { groupOrder: 4 },
          include: ['tests/release/**/*.test.ts'],
          globalSetup: ['tests/release/support/setup.ts'],
          testTimeout: 180_000,
          hookTimeout: 180_000,
          // Most of the time goes to programs that are started one after the other: two files at a time keep two processors busy.
          maxWorkers: 2,
        },
      },
      {
        test: {
          ...shared,
          name: 'lab-times',
          retry: AGAIN,
          provide: few,
          sequence: { groupOrder: 5 },
          include: TIMING,
          testTimeout: 180_000,
          hookTimeout: 120_000,
          maxWorkers: 1,
        },
      },
      {
        test: {
          ...shared,
          name: 'lab-table',
          retry: AGAIN,
          provide: few,
          sequence: { groupOrder: 5 },
          include: FILLING,
          testTimeout: 180_000,
          hookTimeout: 120_000,
          maxWorkers: 1,
        },
      },
      {
        test: {
          ...shared,
          name: 'lab-follow',
          retry: AGAIN,
          sequence: { groupOrder: 5 },
          include: FOLLOWING,
          testTimeout: 180_000,
          hookTimeout: 120_000,
          maxWorkers: 1,
        },
      },
      {
        // Not in CI: measures against a shell loop, by `npm run bench`.
        test: {
          ...shared,
          name: 'bench',
          sequence: { groupOrder: 6 },
          include: ['tests/bench/**/*.bench.ts'],
          testTimeout: 600_000,
          hookTimeout: 60_000,
          maxWorkers: 1,
        },
      },
      {
        // Not in CI: minutes of fuzzing from another seed each time, by `npm run fuzz`.
        test: {
          ...shared,
          name: 'long',
          sequence: { groupOrder: 7 },
          include: ['tests/long/**/*.test.ts'],
          testTimeout: 600_000,
          maxWorkers: 1,
        },
      },
      {
        // Not in CI: the same as there, more often and with larger sites, by `npm run test:long`.
        test: {
          ...shared,
          name: 'rounds',
          provide: { rounds: 'all' },
          sequence: { groupOrder: 8 },
          include: BY_ROUNDS,
          testTimeout: 600_000,
          hookTimeout: 120_000,
          maxWorkers: 1,
        },
      },
    ],
  },
});
