import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { projectRoot } from '../../../scripts/project-root.mjs';
import { countTests, failuresInBrief, readTestReport } from '../../../scripts/test-reports.mjs';

const passedTest = { ancestorTitles: ['a zero'], title: 'holds', status: 'passed', failureMessages: [] };
const failedTest = {
  ancestorTitles: ['a trial', 'on a busy machine'],
  title: 'is kept',
  status: 'failed',
  failureMessages: ['\u001b[31mAssertionError: expected 3 to be 2\u001b[39m\n    at somewhere'],
};
const reportOf = (...files: { message?: string; status: string; tests: (typeof failedTest)[] }[]) => {
  const tests = files.flatMap((file) => file.tests);
  return {
    numPassedTests: tests.filter(({ status }) => status === 'passed').length,
    numFailedTests: tests.filter(({ status }) => status === 'failed').length,
    testResults: files.map(({ message = '', status, tests: assertionResults }, index) => ({
      name: join(projectRoot, `tests/integration/file-${index}.test.ts`),
      status,
      message,
      assertionResults,
    })),
  };
};
const badPart = { name: 'integration tests', isGood: false, output: '' };

describe('the end of a run of all tests', () => {
  it('names each failed test with its part, file and first line of its message', () => {
    const report = reportOf(
      { status: 'passed', tests: [passedTest] },
      { status: 'failed', tests: [passedTest, failedTest] },
    );
    expect(failuresInBrief(badPart, report)).toEqual([
      'integration tests: tests/integration/file-1.test.ts',
      '  a trial > on a busy machine > is kept',
      '    AssertionError: expected 3 to be 2',
    ]);
    expect(countTests([report])).toEqual({ passed: 2, failed: 1 });
  });

  it('names a file that could not be loaded, and counts it', () => {
    const report = reportOf({ status: 'failed', message: 'Cannot find module', tests: [] });
    expect(failuresInBrief(badPart, report)).toContain('  Cannot find module');
    expect(countTests([report])).toEqual({ passed: 0, failed: 1 });
  });

  it('says what was printed where something before the tests failed, since no test tells it', () => {
    const report = reportOf({ status: 'failed', tests: [{ ...passedTest, status: 'skipped' }] });
    const output = ' RUN  v1\n FAIL  file-0.test.ts > a zero\nError: the port is gone\n    at somewhere\n';
    expect(failuresInBrief({ ...badPart, output }, report)).toEqual([
      'integration tests: tests/integration/file-0.test.ts',
      '  failed without a test that failed',
      'integration tests says:',
      '   FAIL  file-0.test.ts > a zero',
      '  Error: the port is gone',
    ]);
    expect(countTests([report])).toEqual({ passed: 0, failed: 1 });
  });

  it('gives the first lines of a part that has no tests', () => {
    const output = Array.from({ length: 30 }, (_, line) => `main/file.ts(${line},1): error\n`).join('\n');
    const lines = failuresInBrief({ name: 'types', isGood: false, output }, null);
    expect(lines).toHaveLength(9);
    expect(lines.slice(0, 2)).toEqual(['types says:', '  main/file.ts(0,1): error']);
  });

  it('counts a report that was not written as a failure, and says nothing of a part that is good', () => {
    expect(readTestReport('test-results/there-is-none.json')).toBeNull();
    expect(countTests([null])).toEqual({ passed: 0, failed: 1 });
    expect(failuresInBrief({ ...badPart, isGood: true }, reportOf())).toEqual([]);
  });
});
