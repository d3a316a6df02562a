import { runPart } from './run-part.mjs';

/** @typedef {import('./run-part.mjs').PartResult} PartResult */

const layers = ['shared-lib', 'main', 'renderer'];

/**
 * @typedef {object} TestPart
 * @property {string} name
 * @property {string[]} projects of vitest.config.ts
 * @property {string} report where its JSON report is written
 */

/** @type {TestPart} */
export const fastTests = {
  name: 'unit and contract tests',
  projects: ['unit', 'contract'],
  report: 'test-results/fast.json',
};

/**
 * Types, lint, form, layers and the fast tests. Lint is the longest part by far and runs beside all the others.
 *
 * @returns {Promise<PartResult[]>}
 */
export async function runChecks() {
  const lint = runPart('lint', ['eslint', '.']);
  /** @type {PartResult[]} */
  const results = [];
  results.push(await runPart('types', ['node', 'scripts/check-types.mjs', ...layers, 'tests', 'scripts']));
  results.push(await runPart('form', ['prettier', '--check', '--cache', '--log-level', 'warn', '.']));
  results.push(await runPart('layers', ['depcruise', ...layers, 'tests', 'scripts']));
  results.push(await runTests(fastTests));
  results.push(await lint);
  return results;
}

/**
 * @param {TestPart} part
 * @param {readonly string[]} [files] only these, one at a time
 * @returns {Promise<PartResult>}
 */
export function runTests({ name, projects, report }, files = []) {
  return runPart(name, [
    'vitest',
    'run',
    ...projects.flatMap((project) => ['--project', project]),
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${report}`,
    ...(files.length > 0 ? ['--no-file-parallelism', ...files] : []),
  ]);
}
