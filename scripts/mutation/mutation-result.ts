import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { inProject } from '../project-root.mjs';
import { whyEquivalent } from './equivalent-mutants.ts';
import type { Choice, MutatedFile, PlannedMutant } from './mutation-plan.ts';
import type { Outcome, Tried } from './run-plan.ts';

export interface FileResult extends MutatedFile {
  readonly tried: number;
  readonly killed: number;
  readonly equivalent: number;
}

export interface Survivor {
  readonly file: string;
  /** Offset in the text of the file. */
  readonly start: number;
  readonly line: number;
  readonly lineText: string;
  readonly original: string;
  readonly replacement: string;
  readonly outcome: Outcome;
  /** Whether the time for a mutant was up before all tests were tried. */
  readonly isSpent: boolean;
  /** Why no test can find it; null: one could. */
  readonly why: string | null;
}

export interface GroupResult {
  /** ISO 8601. */
  readonly date: string;
  /** When those that had survived were last tried again, against the tests of then; null: never. */
  readonly againDate: string | null;
  readonly machine: Readonly<Record<string, string>>;
  readonly seed: number;
  /** At most so many of each file; null: all. */
  readonly perFile: number | null;
  readonly files: readonly FileResult[];
  readonly survivors: readonly Survivor[];
}

/** By group, each from one run. */
export type MutationResults = Readonly<Record<string, GroupResult>>;

const resultsPath = inProject('mutation', 'latest.json');

export function readResults(): MutationResults {
  if (!existsSync(resultsPath)) return {};
  return JSON.parse(readFileSync(resultsPath, 'utf8')) as MutationResults;
}

export function writeResults(results: MutationResults): void {
  mkdirSync(inProject('mutation'), { recursive: true });
  writeFileSync(resultsPath, `${JSON.stringify(results, null, 2)}\n`);
}

/** The mutants that no test found. */
export function survivorsOf(
  mutants: readonly PlannedMutant[],
  tried: ReadonlyMap<number, Tried>,
): Survivor[] {
  return mutants.flatMap(({ number, file, start, line, lineText, original, replacement }) => {
    const result = tried.get(number);
    if (result === undefined) throw new Error(`Mutant ${number} of ${file} was not tried.`);
    const { outcome, isSpent = false } = result;
    if (outcome === 'killed' || outcome === 'endless') return [];
    const why = whyEquivalent(file, { lineText, original, replacement });
    return [{ file, start, line, lineText, original, replacement, outcome, isSpent, why }];
  });
}

export function resultOfFile(file: MutatedFile, tried: number, survivors: readonly Survivor[]): FileResult {
  const own = survivors.filter((survivor) => survivor.file === file.file);
  const equivalent = own.filter(({ why }) => why !== null).length;
  return { ...file, tried, killed: tried - own.length, equivalent };
}

/** With the reasons of today: a survivor may have been explained since it was tried. */
export function explained(result: GroupResult): GroupResult {
  const survivors = result.survivors.map((survivor) => ({
    ...survivor,
    why: whyEquivalent(survivor.file, survivor),
  }));
  return {
    ...result,
    survivors,
    files: result.files.map((file) => resultOfFile(file, file.tried, survivors)),
  };
}

/**
 * A result with what has come of some of its files since; others are not looked at. `inGroup`: the files it is of now, in their order, one
 * of which may be new to it. `sample`: by which these were drawn anew; null: only what had survived was tried again. Errors: where another
 * sample was drawn than that of the rest.
 */
export function withFiles(
  result: GroupResult,
  inGroup: readonly string[],
  { files, survivors }: { readonly files: readonly FileResult[]; readonly survivors: readonly Survivor[] },
  sample: Pick<GroupResult, 'seed' | 'perFile'> | null,
): GroupResult {
  const found = new Map(files.map((file) => [file.file, file]));
  if (!inGroup.some((file) => found.has(file))) return result;
  const known = new Map(result.files.map((file) => [file.file, file]));
  if (sample !== null && (sample.seed !== result.seed || sample.perFile !== result.perFile)) {
    throw new Error('These files were drawn by another sample than the rest: nothing was written down.');
  }
  return {
    ...result,
    againDate: new Date().toISOString(),
    files: inGroup.flatMap((file) => {
      const [before, now] = [known.get(file), found.get(file)];
      if (now !== undefined && sample !== null) return [now];
      if (before === undefined) return [];
      return [now === undefined ? before : resultOfFile(before, before.tried, survivors)];
    }),
    survivors: inGroup.flatMap((file) =>
      (found.has(file) ? survivors : result.survivors).filter((survivor) => survivor.file === file),
    ),
  };
}

/** Those that survived before. Errors: where a file is no longer what it was. */
export function survivorsBefore(results: readonly GroupResult[]): Choice {
  const [files, survivors] = [
    results.flatMap((result) => result.files),
    results.flatMap((result) => result.survivors),
  ];
  return (mutants, { file, sha256 }) => {
    if (files.find((before) => before.file === file)?.sha256 !== sha256) {
      throw new Error(`${file} is not what it was when its mutants were tried: run its group anew.`);
    }
    return mutants.filter((mutant) =>
      survivors.some(
        (one) =>
          one.file === file &&
          one.start === mutant.start &&
          one.original === mutant.original &&
          one.replacement === mutant.replacement,
      ),
    );
  };
}
