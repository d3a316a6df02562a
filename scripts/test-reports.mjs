import { readFileSync } from 'node:fs';
import { relative } from 'node:path';
import { stripVTControlCharacters } from 'node:util';
import { inProject, projectRoot } from './project-root.mjs';

/** @typedef {import('./run-part.mjs').PartResult} PartResult */

/**
 * @typedef {object} TestInReport
 * @property {string[]} ancestorTitles
 * @property {string} title
 * @property {string} status
 * @property {string[]} failureMessages
 */

/**
 * @typedef {object} FileInReport
 * @property {string} name its path
 * @property {string} status
 * @property {string} message why it could not be loaded
 * @property {TestInReport[]} assertionResults
 */

/**
 * What Vitest's JSON reporter writes, as far as it is read here.
 *
 * @typedef {object} TestReport
 * @property {number} numPassedTests
 * @property {number} numFailedTests
 * @property {FileInReport[]} testResults
 */

/** As Vitest calls what was left out, by a condition or by hand. */
const SKIPPED = new Set(['skipped', 'todo']);
/** As it calls what was on its way, or still to come, when the process of its file ended. */
const UNFINISHED = 'pending';
/** So many lines of a part that failed without a test. */
const MOST_LINES = 8;

/**
 * @param {string} reportFile
 * @returns {TestReport | null} null where it was not written: the run ended before its tests did
 */
export function readTestReport(reportFile) {
  try {
    /** @type {TestReport} */
    const report = JSON.parse(readFileSync(inProject(reportFile), 'utf8'));
    return report;
  } catch {
    return null;
  }
}

/**
 * @param {TestReport | null} report
 * @returns {string[]} the files that failed or did not come to their end, by their path in the project
 */
export function failedFiles(report) {
  return (report?.testResults ?? [])
    .filter((file) => file.status === 'failed' || isUnfinished(file))
    .map(({ name }) => pathInProject(name));
}

/**
 * @param {TestReport} first
 * @param {TestReport} again of some of its files
 * @returns {TestReport} with those files as they were the second time
 */
export function withSecondRun(first, again) {
  const newer = new Map(again.testResults.map((file) => [file.name, file]));
  const testResults = first.testResults.map((file) => newer.get(file.name) ?? file);
  const tests = testResults.flatMap((file) => file.assertionResults);
  return {
    testResults,
    numPassedTests: tests.filter(({ status }) => status === 'passed').length,
    numFailedTests: tests.filter(({ status }) => status === 'failed').length,
  };
}

/**
 * A file that failed without a failed test (it could not be loaded, or what stands before its tests failed) counts as one
 * that failed, as do one that did not come to its end and a report that is missing.
 *
 * @param {readonly (TestReport | null)[]} reports
 * @returns {{ passed: number, failed: number }}
 */
export function countTests(reports) {
  let passed = 0;
  let failed = 0;
  for (const report of reports) {
    passed += report?.numPassedTests ?? 0;
    failed +=
      report === null
        ? 1
        : report.numFailedTests +
          report.testResults.filter((file) => isFailedWithoutTest(file) || isUnfinished(file)).length;
  }
  return { passed, failed };
}

/**
 * Tests that did not run, as those that need a program or a right that this machine does not have.
 *
 * @param {readonly (TestReport | null)[]} reports
 * @returns {string[]} how many of which file, by their path in the project
 */
export function skippedTests(reports) {
  return reports
    .flatMap((report) => report?.testResults ?? [])
    .flatMap(({ name, assertionResults }) => {
      const count = assertionResults.filter(({ status }) => SKIPPED.has(status)).length;
      return count === 0 ? [] : [`${count} of ${pathInProject(name)}`];
    });
}

/**
 * Every failed test by part, file, whole name and first line of its message; of a part that is not good without one, the
 * first lines that tell why. So that a log of which only the end was kept names them still.
 *
 * @param {PartResult} part
 * @param {TestReport | null} report null where the part has none
 * @returns {string[]} lines to print; none for a part that is good
 */
export function failuresInBrief({ name, isGood, output }, report) {
  if (isGood) return [];
  const failed = report?.testResults.filter((file) => file.status === 'failed' || isUnfinished(file)) ?? [];
  const lines = failed.flatMap((file) => [`${name}: ${pathInProject(file.name)}`, ...failuresOfFile(file)]);
  if (failed.length === 0 || failed.some((file) => isFailedWithoutTest(file) || isUnfinished(file))) {
    lines.push(`${name} says:`, ...tellingLines(output).map((line) => `  ${line}`));
  }
  return lines;
}

/** @param {FileInReport} file */
function failuresOfFile(file) {
  const failedTests = file.assertionResults.filter(({ status }) => status === 'failed');
  if (failedTests.length === 0 && isUnfinished(file)) return ['  did not come to its end'];
  if (failedTests.length === 0)
    return [`  ${firstLine(file.message) || 'failed without a test that failed'}`];
  return failedTests.flatMap(({ ancestorTitles, title, failureMessages }) => [
    `  ${[...ancestorTitles, title].join(' > ')}`,
    `    ${firstLine(failureMessages[0] ?? '')}`,
  ]);
}

/** @param {FileInReport} file */
function isFailedWithoutTest({ status, assertionResults }) {
  return status === 'failed' && assertionResults.every((test) => test.status !== 'failed');
}

/** @param {FileInReport} file */
function isUnfinished({ assertionResults }) {
  return assertionResults.some(({ status }) => status === UNFINISHED);
}

/** @param {string} text */
function firstLine(text) {
  return stripVTControlCharacters(text).trimStart().split('\n', 1)[0] ?? '';
}

/** @param {string} path */
function pathInProject(path) {
  return relative(projectRoot, path).replaceAll('\\', '/');
}

/**
 * @param {PartResult} part
 * @returns {string[]} what Vitest says of processes that ended before their tests did, each once
 */
export function endedProcesses({ output }) {
  const lines = stripVTControlCharacters(output)
    .split('\n')
    .filter((line) => line.startsWith('Caused by: Error: Worker exited unexpectedly'))
    .map((line) => line.slice('Caused by: Error: '.length));
  return [...new Set(lines)];
}

/**
 * Of a run of tests the lines that name what failed and the errors; of anything else the first ones.
 *
 * @param {string} output
 */
function tellingLines(output) {
  const lines = stripVTControlCharacters(output)
    .split('\n')
    .filter((line) => line.trim() !== '');
  const ofFailures = lines.filter((line) => /^ FAIL |^(Caused by: )?\w*Error: /.test(line));
  return (ofFailures.length > 0 ? ofFailures : lines).slice(0, MOST_LINES);
}
