import { runPart } from './run-part.mjs';

/** @typedef {import('./run-part.mjs').PartResult} PartResult */

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
  for (const folder of ['shared-lib', 'main', 'renderer', 'tests', 'scripts']) {
    results.push(await runPart(`types: ${folder}`, tsc(folder)));
  }
  results.push(await runPart('form', ['prettier', '--check', '--cache', '--log-level', 'warn', '.']));
  results.push(await runPart('layers', ['depcruise', 'shared-lib', 'main', 'renderer']));
  results.push(await runPart('unit and contract tests', vitest(['unit', 'contract'], fastTestsReport)));
  results.push(await lint);
  return results;
}

/**
 * What was found last time is kept beside the packages, so that only what has changed is checked again.
 *
 * @param {string} folder
 * @returns {string[]}
 */
function tsc(folder) {
  return [
    'tsc',
    '-p',
    folder,
    '--incremental',
    '--tsBuildInfoFile',
    `node_modules/.cache/types/${folder}.tsbuildinfo`,
  ];
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
