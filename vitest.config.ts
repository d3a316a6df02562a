import { defineConfig } from 'vitest/config';

/** Real processes, ports and browsers, and time for a slow machine. They mostly wait, so more at a time than two cores. */
const waiting = { testTimeout: 120_000, hookTimeout: 120_000, maxWorkers: 3, sequence: { groupOrder: 1 } };

/** What measures time, or needs names that nobody else takes: one file at a time, with nothing beside it. */
const aloneFiles = [
  'tests/integration/reader-queue.test.ts',
  'tests/integration/replugged-on-another-port.test.ts',
  'tests/integration/sigkill-while-recording.test.ts',
  'tests/integration/trial-over-pseudo-terminal.test.ts',
];
const alone = { ...waiting, maxWorkers: 1, fileParallelism: false, sequence: { groupOrder: 2 } };

export default defineConfig({
  test: {
    projects: [
      // They share no state but modules, and loading those anew for each file would take most of the time.
      { test: { name: 'unit', include: ['tests/unit/**/*.test.{ts,tsx}'], isolate: false } },
      { test: { name: 'contract', include: ['tests/contract/**/*.test.ts'] } },
      {
        test: {
          name: 'integration',
          include: ['tests/integration/**/*.test.ts'],
          exclude: aloneFiles,
          ...waiting,
        },
      },
      { test: { name: 'end-to-end', include: ['tests/end-to-end/**/*.test.ts'], ...waiting } },
      { test: { name: 'alone', include: aloneFiles, ...alone } },
    ],
  },
});
