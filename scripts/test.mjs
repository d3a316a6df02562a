import './require-node.mjs';
import { readFileSync, rmSync } from 'node:fs';
import { buildStaleParts } from './build-parts.mjs';
import { fastTestsReport, runChecks, vitest } from './check-parts.mjs';
import { findTestBrowser } from './find-browser.mjs';
import { installBrowser } from './install-browser.mjs';
import { inProject } from './project-root.mjs';
import { runPart } from './run-part.mjs';

const reports = {
  fast: fastTestsReport,
  integration: 'test-results/integration.json',
  endToEnd: 'test-results/end-to-end.json',
};
rmSync(inProject('test-results'), { recursive: true, force: true });

await buildStaleParts((line) => {
  console.log(line);
});
const browser = (await findTestBrowser()) ?? (await installBrowser());
if (browser === null) process.exit(1);
console.log(`Browser for the tests: ${browser}`);
process.env['CHROME_PATH'] = browser;

const parts = await runChecks();
parts.push(await runPart('integration tests', vitest(['integration'], reports.integration)));
parts.push(await runPart('browser tests', vitest(['end-to-end'], reports.endToEnd)));

const bad = parts.filter((part) => !part.isGood).map((part) => part.name);
if (bad.length > 0) console.log(`Not good: ${bad.join(', ')}`);
const { passed, failed } = countTests(Object.values(reports));
console.log(`${String(passed)} passed, ${String(failed)} failed`);
process.exitCode = bad.length === 0 && failed === 0 ? 0 : 1;

/**
 * @typedef {object} VitestReport
 * @property {number} numPassedTests
 * @property {number} numFailedTests
 * @property {{ status: string, assertionResults: unknown[] }[]} testResults
 */

/**
 * A test file that could not be loaded has no tests to count, and counts as one that failed.
 *
 * @param {string[]} reportFiles
 */
function countTests(reportFiles) {
  let passed = 0;
  let failed = 0;
  for (const file of reportFiles) {
    /** @type {VitestReport} */
    let report;
    try {
      report = /** @type {VitestReport} */ (JSON.parse(readFileSync(inProject(file), 'utf8')));
    } catch {
      console.log(`${file} was not written: the run ended before its tests did.`);
      failed += 1;
      continue;
    }
    passed += report.numPassedTests;
    failed += report.numFailedTests;
    failed += report.testResults.filter(
      ({ status, assertionResults }) => status === 'failed' && assertionResults.length === 0,
    ).length;
  }
  return { passed, failed };
}
