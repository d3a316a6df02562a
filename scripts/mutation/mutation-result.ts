import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { inProject } from '../project-root.mjs';
import { knownSurvivors } from './known-survivors.ts';
import type { MutatedFile, PlannedMutant } from './mutation-plan.ts';
import type { Outcome, Tried } from './run-plan.ts';

export interface FileResult {
  readonly file: string;
  /** All that the file has. */
  readonly mutantCount: number;
  readonly tried: number;
  readonly killed: number;
  /** Of `killed`: found because a test did not end any more. */
  readonly endless: number;
  readonly equivalent: number;
}

export interface Survivor {
  readonly file: string;
  readonly line: number;
  readonly original: string;
  readonly replacement: string;
  readonly outcome: Exclude<Outcome, 'killed' | 'endless'>;
  /** Whether the time for a mutant was up before all tests were tried. */
  readonly isSpent: boolean;
  /** Why no test can find it; null: one could. */
  readonly why: string | null;
}

export interface GroupResult {
  /** ISO 8601. */
  readonly date: string;
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

export function resultOfFile(
  { file, mutantCount }: MutatedFile,
  mutants: readonly PlannedMutant[],
  tried: ReadonlyMap<number, Tried>,
): { readonly result: FileResult; readonly survivors: readonly Survivor[] } {
  const own = mutants.filter((mutant) => mutant.file === file);
  const survivors = own.flatMap((mutant) => survivorOf(mutant, tried.get(mutant.number)));
  const result = {
    file,
    mutantCount,
    tried: own.length,
    killed: own.length - survivors.length,
    endless: own.filter(({ number }) => tried.get(number)?.outcome === 'endless').length,
    equivalent: survivors.filter(({ why }) => why !== null).length,
  };
  return { result, survivors };
}

function survivorOf(mutant: PlannedMutant, tried: Tried | undefined): Survivor[] {
  if (tried === undefined) throw new Error(`Mutant ${mutant.number} of ${mutant.file} was not tried.`);
  const { outcome, isSpent = false } = tried;
  if (outcome === 'killed' || outcome === 'endless') return [];
  const { file, line, original, replacement } = mutant;
  const known = knownSurvivors.find(
    (one) => one.file === file && one.original === original && one.replacement === replacement,
  );
  return [{ file, line, original, replacement, outcome, isSpent, why: known?.why ?? null }];
}
