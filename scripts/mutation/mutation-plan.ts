import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createSeededRandom, type SeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { inProject } from '../project-root.mjs';
import { findImportingTests } from './find-importing-tests.ts';
import { listMutants, type Mutant } from './list-mutants.ts';
import { numericHeart } from './numeric-heart.ts';

/** From the project's root, with forward slashes. */
export type SourcePath = string;

export interface PlannedMutant extends Mutant {
  /** From 1; what instrumented sources know it by. */
  readonly number: number;
  readonly file: SourcePath;
}

/** What one run tries, as a file that the process with the tests reads. */
export interface MutationPlan {
  readonly mutants: readonly PlannedMutant[];
  readonly tests: readonly { readonly file: SourcePath; readonly reaches: readonly SourcePath[] }[];
}

/** The plan of the run that this process belongs to. */
export function readPlan(): MutationPlan {
  const path = process.env['MUTATION_PLAN'];
  if (path === undefined) throw new Error('There is no plan; `npm run mutation` makes one and runs this.');
  return JSON.parse(readFileSync(path, 'utf8')) as MutationPlan;
}

export interface MutatedFile {
  readonly group: string;
  readonly file: SourcePath;
  /** All that the file has, of which a plan may hold a sample. */
  readonly mutantCount: number;
}

/**
 * `perFile`: so many mutants of each file, drawn from the seed (all where it has fewer); null: all of all files.
 * `wanted`: parts of paths; empty: the whole numeric heart.
 */
export function planMutation({
  perFile,
  seed,
  wanted,
}: {
  readonly perFile: number | null;
  readonly seed: number;
  readonly wanted: readonly string[];
}): { readonly plan: MutationPlan; readonly files: readonly MutatedFile[] } {
  const files: MutatedFile[] = [];
  const mutants: PlannedMutant[] = [];
  for (const [group, names] of Object.entries(numericHeart)) {
    for (const name of names) {
      const file = `shared-lib/${name}.ts`;
      if (wanted.length > 0 && !wanted.some((part) => file.includes(part))) continue;
      const all = listMutants(readFileSync(inProject(file), 'utf8'));
      files.push({ group, file, mutantCount: all.length });
      const chosen =
        perFile === null ? all : drawSome(all, perFile, createSeededRandom(seed, streamOf(file)));
      for (const mutant of chosen) mutants.push({ ...mutant, file, number: mutants.length + 1 });
    }
  }
  return { plan: { mutants, tests: findImportingTests(files.map(({ file }) => file)) }, files };
}

/** What is drawn of one file does not depend on what the others have. */
function streamOf(file: string): number {
  return createHash('sha256').update(file).digest().readInt32LE();
}

/** In the order in which they stand. */
function drawSome<T>(all: readonly T[], count: number, random: SeededRandom): T[] {
  const drawn = all.map((item, index) => ({ item, index, chance: random.uniform() }));
  const some = drawn.toSorted((a, b) => a.chance - b.chance).slice(0, count);
  return some.toSorted((a, b) => a.index - b.index).map(({ item }) => item);
}
