import { runPart } from './run-part.mjs';

/** @typedef {import('./run-part.mjs').PartResult} PartResult */

const layers = ['shared-lib', 'main', 'renderer'];

export const fastTestsReport = 'test-results/fast.json';

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
  results.push(await runPart('layers', ['depcruise', ...layers]));
  results.push(await runPart('unit and contract tests', vitest(['unit', 'contract'], fastTestsReport)));
  results.push(await lint);
  return results;
}

/**
 * @param {string[]} projects
 * @param {string} reportFile
 * @returns {string[]}
 */
export function vitest(projects, reportFile) {
  return [
    'vitest',
    'run',
    ...projects.flatMap((project) => ['--project', project]),
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${reportFile}`,
  ];
}
