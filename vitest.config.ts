import { defineConfig } from 'vitest/config';

const setupFiles = ['tests/helpers/seed-of-chance.ts'];

/**
 * Real processes, ports and browsers mostly wait, so more files run at a time than they would find processors for. The
 * limits are for a machine that does much else; a test that waits longer than it should costs nothing where it passes.
 */
const waiting = { testTimeout: 300_000, hookTimeout: 300_000, setupFiles };

/** What measures the program against time: fewer at a time, and last. */
const timedFiles = [
  'tests/integration/reader-queue.test.ts',
  'tests/integration/sigkill-while-recording.test.ts',
  'tests/integration/trial-over-pseudo-terminal.test.ts',
];

export default defineConfig({
  test: {
    projects: [
      // They share no state but modules, and loading those anew for each file would take most of the time.
      { test: { name: 'unit', include: ['tests/unit/**/*.test.{ts,tsx}'], isolate: false, setupFiles } },
      { test: { name: 'contract', include: ['tests/contract/**/*.test.ts'], setupFiles } },
      {
        test: {
          ...waiting,
          name: 'integration',
          include: ['tests/integration/**/*.test.ts'],
          exclude: timedFiles,
          maxWorkers: 3,
          sequence: { groupOrder: 1 },
        },
      },
      {
        test: {
          ...waiting,
          name: 'end-to-end',
          include: ['tests/end-to-end/**/*.test.ts'],
          // A page that draws a live curve without a GPU takes half a processor.
          maxWorkers: 2,
          sequence: { groupOrder: 2 },
        },
      },
      {
        test: { ...waiting, name: 'timed', include: timedFiles, maxWorkers: 2, sequence: { groupOrder: 3 } },
      },
    ],
  },
});
