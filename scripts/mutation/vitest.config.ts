import { relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Plugin } from 'vite';
import { defineConfig } from 'vitest/config';
import { projectRoot } from '../project-root.mjs';
import { instrumentSource } from './instrument-source.ts';
import { readPlan } from './mutation-plan.ts';

const mutantsOfFiles = Map.groupBy(readPlan().mutants, ({ file }) => file);

const standIn = fileURLToPath(new URL('collected-tests.ts', import.meta.url));

/** Our sources with their mutants; the tests with a stand-in for the library that they are written for. */
const mutants: Plugin = {
  name: 'mutants',
  enforce: 'pre',
  transform(code, id) {
    const file = relative(projectRoot, id).replaceAll('\\', '/');
    if (!/^(shared-lib|tests)\/.*\.ts$/.test(file)) return undefined;
    const ofFile = mutantsOfFiles.get(file) ?? [];
    const instrumented = instrumentSource(code, new Map(ofFile.map((mutant) => [mutant.number, mutant])));
    return { code: instrumented.replace("from 'vitest'", `from '${standIn}'`), map: null };
  },
};

// eslint-disable-next-line no-restricted-syntax -- the form of a configuration
export default defineConfig({
  plugins: [mutants],
  test: {
    root: projectRoot,
    include: ['scripts/mutation/try-mutants.test.ts'],
    // Kept over runs it would bring the mutants of another plan.
    fsModuleCache: false,
    testTimeout: 0,
    reporters: ['dot'],
  },
});
