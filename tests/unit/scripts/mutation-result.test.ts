import { describe, expect, it } from 'vitest';
import {
  type FileResult,
  type GroupResult,
  survivorsBefore,
  type Survivor,
  withFiles,
} from '../../../scripts/mutation/mutation-result.ts';

const file = (name: string, change: Partial<FileResult> = {}): FileResult => ({
  file: name,
  sha256: `of ${name}`,
  mutantCount: 40,
  tried: 30,
  killed: 28,
  equivalent: 0,
  ...change,
});
const survivor = (name: string, start: number): Survivor => ({
  file: name,
  start,
  line: 1,
  lineText: 'a + b',
  original: 'a + b',
  replacement: '(a) - (b)',
  outcome: 'survived',
  isSpent: false,
  why: null,
});
const inGroup = ['a.ts', 'b.ts'];
const before: GroupResult = {
  date: '2026-03-01T08:00:00.000Z',
  againDate: null,
  machine: {},
  seed: 3,
  perFile: 30,
  files: [file('a.ts'), file('b.ts')],
  survivors: [1, 2].flatMap((start) => [survivor('a.ts', start), survivor('b.ts', start)]),
};

describe('the figures of a group of which one file was tried again', () => {
  it('have what is left of its survivors, and all that was tried before', () => {
    const after = withFiles(
      before,
      inGroup,
      { files: [file('b.ts', { tried: 2, killed: 1 })], survivors: [survivor('b.ts', 2)] },
      null,
    );
    expect(after.files).toEqual([file('a.ts'), file('b.ts', { tried: 30, killed: 29 })]);
    expect(after.survivors).toEqual([survivor('a.ts', 1), survivor('a.ts', 2), survivor('b.ts', 2)]);
    expect(after.date).toBe(before.date);
    expect(after.againDate).not.toBeNull();
  });

  it('have a changed file as it was drawn anew, by the sample of the rest only', () => {
    const anew = file('b.ts', { sha256: 'changed', tried: 20, killed: 20 });
    const after = withFiles(before, inGroup, { files: [anew], survivors: [] }, { seed: 3, perFile: 30 });
    expect(after.files).toEqual([file('a.ts'), anew]);
    expect(after.survivors).toEqual([survivor('a.ts', 1), survivor('a.ts', 2)]);
    expect(() =>
      withFiles(before, inGroup, { files: [anew], survivors: [] }, { seed: 4, perFile: 30 }),
    ).toThrow('another sample');
  });

  it('are left alone where none of its files was tried', () => {
    expect(withFiles(before, inGroup, { files: [file('c.ts')], survivors: [] }, null)).toBe(before);
  });

  it('take in a file that the group has had since, and let go of one that it no longer has', () => {
    const added = file('c.ts', { tried: 9, killed: 8 });
    const found = { files: [added], survivors: [survivor('c.ts', 5)] };
    const after = withFiles(before, ['c.ts', 'b.ts'], found, { seed: 3, perFile: 30 });
    expect(after.files).toEqual([added, file('b.ts')]);
    expect(after.survivors).toEqual([survivor('c.ts', 5), survivor('b.ts', 1), survivor('b.ts', 2)]);
  });
});

describe('what survived before', () => {
  it('is not tried again in a file that has changed', () => {
    expect(() => survivorsBefore([before])([], file('b.ts', { sha256: 'changed' }))).toThrow(
      'is not what it was',
    );
    const mutants = [1, 2, 3].map((start) => ({
      ...survivor('b.ts', start),
      end: start + 5,
      operator: 'arithmetic' as const,
    }));
    expect(survivorsBefore([before])(mutants, file('b.ts')).map(({ start }) => start)).toEqual([1, 2]);
  });
});
