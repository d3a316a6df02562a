import { describe, expect, it } from 'vitest';
import {
  countTests,
  endedProcesses,
  failedFiles,
  failuresInBrief,
  skippedTests,
  withSecondRun,
} from '../../../scripts/test-reports.mjs';
import { inProject } from '../../../scripts/project-root.mjs';

type Report = Parameters<typeof withSecondRun>[0];

function fileOf(name: string, statuses: readonly string[]): Report['testResults'][number] {
  return {
    name: inProject(name),
    status: statuses.length === 0 || statuses.includes('failed') ? 'failed' : 'passed',
    message: '',
    assertionResults: statuses.map((status, index) => ({
      ancestorTitles: [],
      title: String(index),
      status,
      failureMessages: [],
    })),
  };
}

function reportOf(files: Report['testResults']): Report {
  const statuses = files.flatMap(({ assertionResults }) => assertionResults.map(({ status }) => status));
  return {
    testResults: files,
    numPassedTests: statuses.filter((status) => status === 'passed').length,
    numFailedTests: statuses.filter((status) => status === 'failed').length,
  };
}

describe('a second run of the files that failed', () => {
  const first = reportOf([
    fileOf('tests/a.test.ts', ['passed', 'passed']),
    fileOf('tests/b.test.ts', ['passed', 'failed']),
    fileOf('tests/c.test.ts', []),
  ]);

  it('is of the files with a failed test and of those that could not be loaded', () => {
    expect(failedFiles(first)).toEqual(['tests/b.test.ts', 'tests/c.test.ts']);
    expect(countTests([first])).toEqual({ passed: 3, failed: 2 });
  });

  it('counts in the place of the first, whatever came of it', () => {
    const again = reportOf([
      fileOf('tests/b.test.ts', ['failed', 'passed']),
      fileOf('tests/c.test.ts', ['passed']),
    ]);
    const both = withSecondRun(first, again);
    expect(countTests([both])).toEqual({ passed: 4, failed: 1 });
    expect(failedFiles(both)).toEqual(['tests/b.test.ts']);
  });

  it('leaves a file that it did not reach as it was', () => {
    const both = withSecondRun(first, reportOf([fileOf('tests/b.test.ts', ['passed', 'passed'])]));
    expect(countTests([both])).toEqual({ passed: 4, failed: 1 });
  });
});

describe('tests that did not run', () => {
  it('are told by their file, since neither count has them', () => {
    const report = reportOf([
      fileOf('tests/a.test.ts', ['passed', 'skipped', 'todo']),
      fileOf('tests/b.test.ts', ['passed', 'failed']),
    ]);
    expect(skippedTests([report, null])).toEqual(['2 of tests/a.test.ts']);
    expect(countTests([report])).toEqual({ passed: 2, failed: 1 });
  });
});

describe('a file whose process ended before its tests did', () => {
  const report = reportOf([
    fileOf('tests/a.test.ts', ['passed', 'pending', 'pending']),
    fileOf('tests/b.test.ts', ['passed', 'skipped']),
  ]);
  const cause = 'Worker exited unexpectedly with signal SIGSEGV while running test file a.test.ts';
  const part = {
    name: 'timed tests',
    isGood: false,
    output: `Error: [vitest-pool]: Worker forks emitted error.\n at somewhere\nCaused by: Error: ${cause}\n`,
  };

  it('has a second run, and fails where that does not come to its end either', () => {
    expect(failedFiles(report)).toEqual(['tests/a.test.ts']);
    expect(countTests([report])).toEqual({ passed: 2, failed: 1 });
    expect(skippedTests([report])).toEqual(['1 of tests/b.test.ts']);
    const again = withSecondRun(
      report,
      reportOf([fileOf('tests/a.test.ts', ['passed', 'passed', 'passed'])]),
    );
    expect(countTests([again])).toEqual({ passed: 4, failed: 0 });
  });

  it('is told with what the runner says of the process', () => {
    expect(endedProcesses({ ...part, output: part.output + part.output })).toEqual([cause]);
    expect(failuresInBrief(part, report)).toEqual([
      'timed tests: tests/a.test.ts',
      '  did not come to its end',
      'timed tests says:',
      '  Error: [vitest-pool]: Worker forks emitted error.',
      `  Caused by: Error: ${cause}`,
    ]);
  });
});
