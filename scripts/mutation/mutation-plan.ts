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
  readonly file: SourcePath;
  /** Of its text, in hexadecimal. */
  readonly sha256: string;
  /** All that the file has, of which a plan may hold a sample. */
  readonly mutantCount: number;
}

/** Which mutants of a file are tried. */
export type Choice = (mutants: readonly Mutant[], file: MutatedFile) => readonly Mutant[];

/** `wanted`: parts of paths of the numeric heart. */
export function planMutation(
  wanted: readonly string[],
  choose: Choice,
): { readonly plan: MutationPlan; readonly files: readonly MutatedFile[] } {
  const files: MutatedFile[] = [];
  const mutants: PlannedMutant[] = [];
  for (const name of Object.values(numericHeart).flat()) {
    const path = `shared-lib/${name}.ts`;
    if (!wanted.some((part) => path.includes(part))) continue;
    const text = readFileSync(inProject(path), 'utf8');
    const all = listMutants(text);
    const file = { file: path, sha256: sha256Of(text).toString('hex'), mutantCount: all.length };
    files.push(file);
    for (const mutant of choose(all, file)) {
      mutants.push({ ...mutant, file: path, number: mutants.length + 1 });
    }
  }
  return { plan: { mutants, tests: findImportingTests(files.map(({ file }) => file)) }, files };
}

/** So many mutants of each file, drawn from the seed (all where it has fewer). */
export function sampleOf(perFile: number, seed: number): Choice {
  return (mutants, { file }) => drawSome(mutants, perFile, createSeededRandom(seed, streamOf(file)));
}

const sha256Of = (text: string): Buffer => createHash('sha256').update(text).digest();

/** What is drawn of one file does not depend on what the others have. */
function streamOf(file: string): number {
  return sha256Of(file).readInt32LE();
}

/** In the order in which they stand. */
function drawSome<T>(all: readonly T[], count: number, random: SeededRandom): T[] {
  const drawn = all.map((item, index) => ({ item, index, chance: random.uniform() }));
  const some = drawn.toSorted((a, b) => a.chance - b.chance).slice(0, count);
  return some.toSorted((a, b) => a.index - b.index).map(({ item }) => item);
}
