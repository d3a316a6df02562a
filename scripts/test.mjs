import './require-node.mjs';
import { rmSync } from 'node:fs';
import { buildStaleParts } from './build-parts.mjs';
import { fastTests, runChecks, runTests } from './check-parts.mjs';
import { findTestBrowser } from './find-browser.mjs';
import { installBrowser } from './install-browser.mjs';
import { inProject } from './project-root.mjs';
import {
  countTests,
  endedProcesses,
  failedFiles,
  failuresInBrief,
  readTestReport,
  skippedTests,
  withSecondRun,
} from './test-reports.mjs';

/** @type {import('./check-parts.mjs').TestPart[]} */
const slowTests = [
  { name: 'integration tests', projects: ['integration'], report: 'test-results/integration.json' },
  { name: 'browser tests', projects: ['end-to-end'], report: 'test-results/end-to-end.json' },
  { name: 'timed integration tests', projects: ['timed'], report: 'test-results/timed.json' },
];
rmSync(inProject('test-results'), { recursive: true, force: true });

await buildStaleParts((line) => {
  console.log(line);
});
const browser = (await findTestBrowser()) ?? (await installBrowser());
if (browser === null) process.exit(1);
console.log(`Browser for the tests: ${browser}`);
process.env['CHROME_PATH'] = browser;

const parts = await runChecks();
/** @type {Map<string, import('./test-reports.mjs').TestReport | null>} */
const reports = new Map([[fastTests.name, readTestReport(fastTests.report)]]);
/** @type {string[]} */
const passedAlone = [];
/** @type {string[]} */
const ended = [];
for (const part of slowTests) {
  let result = await runTests(part);
  let report = readTestReport(part.report);
  // They wait for real time, ports and pages: what failed beside others on a busy machine has one more try, alone.
  const files = failedFiles(report);
  if (report !== null && files.length > 0) {
    ended.push(...endedProcesses(result));
    const second = { ...part, report: part.report.replace('.json', '-again.json') };
    result = await runTests(second, files);
    const again = readTestReport(second.report);
    if (again !== null) report = withSecondRun(report, again);
    if (result.isGood) passedAlone.push(...files);
  }
  parts.push(result);
  reports.set(part.name, report);
}

// What follows is all that is sure to be in a log that was cut.
if (passedAlone.length > 0) console.log(`\nFailed beside others, passed alone: ${passedAlone.join(', ')}`);
for (const line of ended) console.log(line);
for (const [name, report] of reports) {
  if (report === null) console.log(`${name}: no report was written, the run ended before its tests did.`);
}
const bad = parts.filter((part) => !part.isGood);
if (bad.length > 0) console.log(`\nNot good: ${bad.map(({ name }) => name).join(', ')}`);
for (const part of bad) {
  for (const line of failuresInBrief(part, reports.get(part.name) ?? null)) console.log(line);
}
const skipped = skippedTests([...reports.values()]);
if (skipped.length > 0) console.log(`\nNot run on this machine: ${skipped.join(', ')}`);
const { passed, failed } = countTests([...reports.values()]);
console.log(`${String(passed)} passed, ${String(failed)} failed`);
process.exitCode = bad.length === 0 && failed === 0 ? 0 : 1;
