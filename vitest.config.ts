import { defineConfig } from 'vitest/config';

// Real processes, ports and browsers: one file at a time, and with time for a slow machine.
const slow = { testTimeout: 120_000, hookTimeout: 120_000, fileParallelism: false };

export default defineConfig({
  test: {
    projects: [
      // They share no state but modules, and loading those anew for each file would take most of the time.
      { test: { name: 'unit', include: ['tests/unit/**/*.test.{ts,tsx}'], isolate: false } },
      { test: { name: 'contract', include: ['tests/contract/**/*.test.ts'] } },
      { test: { name: 'integration', include: ['tests/integration/**/*.test.ts'], ...slow } },
      { test: { name: 'end-to-end', include: ['tests/end-to-end/**/*.test.ts'], ...slow } },
    ],
  },
});
