import { appendFileSync } from 'node:fs';
import fc from 'fast-check';
import { it, vi } from 'vitest';
import { inProject } from '../project-root.mjs';
import { createMutationSwitch, EndlessLoop, processorTimeUs } from './active-mutant.ts';
import { type CollectedTest, collectTests } from './collected-tests.ts';
import { type PlannedMutant, readPlan } from './mutation-plan.ts';
import type { TriedLine } from './run-plan.ts';

/** Run by `npm run mutation`, never by itself: tries the mutants of a plan one after another in this process. */
const plan = readPlan();
const resultsFile = process.env['MUTATION_RESULTS'] ?? '';
const doneBefore = new Set((process.env['MUTATION_DONE'] ?? '').split(',').map(Number));

/** A test may take ten times as long as it does without a mutant, and a second more. */
const SLOWER_TIMES = 10;
const SLOWER_US = 1e6;
/** Tests of one mutant end after so much processor time; what is left untried then counts as not finding it. */
const MUTANT_BUDGET_US = 5e6;
/** For what waits instead of computing. */
const STUCK_MS = 30_000;

// The same chance as in the tests; a failed property is not made smaller, since nobody reads it.
fc.configureGlobal({ seed: 20_260_310, endOnFailure: true });
const $mutation = (globalThis.$mutation = createMutationSwitch(plan.mutants.length));

interface KnownTest extends CollectedTest {
  readonly file: string;
  readonly durationUs: number;
  readonly reached: Uint8Array;
}

type Failure = 'killed' | 'endless';

it('tries every mutant of the plan', async () => {
  const reachedWhileLoading = new Uint8Array(plan.mutants.length + 1);
  let known = await learnTests(reachedWhileLoading);
  for (const mutant of plan.mutants) {
    if (doneBefore.has(mutant.number)) continue;
    tell({ number: mutant.number, outcome: 'started' });
    const isEarly = reachedWhileLoading[mutant.number] === 1;
    let line = await tryMutant(mutant, known, isEarly);
    // A mutant may have left something behind in a module that remembers; then all is loaded anew, and it is tried again.
    if (line.by !== undefined && !(await standsWithoutMutant(line.by, known))) {
      known = await learnTests(reachedWhileLoading);
      line = await tryMutant(mutant, known, isEarly);
    }
    tell(line);
  }
});

function tell(line: TriedLine): void {
  appendFileSync(resultsFile, `${JSON.stringify(line)}\n`);
}

async function loadTests(file: string): Promise<readonly CollectedTest[]> {
  return collectTests(() => import(/* @vite-ignore */ inProject(file)));
}

/** Loads all tests anew and runs them as they are: what each takes and reaches. All must pass. */
async function learnTests(reachedWhileLoading: Uint8Array): Promise<KnownTest[]> {
  vi.resetModules();
  const known: KnownTest[] = [];
  for (const { file } of plan.tests) {
    tell({ number: 0, outcome: 'learning' });
    $mutation.reached.fill(0);
    const tests = await loadTests(file);
    for (const [number, isReached] of $mutation.reached.entries()) {
      if (isReached === 1) reachedWhileLoading[number] = 1;
    }
    for (const test of tests) {
      $mutation.reached.fill(0);
      const startedUs = processorTimeUs();
      await test.run();
      known.push({
        ...test,
        file,
        durationUs: processorTimeUs() - startedUs,
        reached: $mutation.reached.slice(),
      });
    }
  }
  return known.toSorted((a, b) => a.durationUs - b.durationUs);
}

async function tryMutant(
  mutant: PlannedMutant,
  known: readonly KnownTest[],
  isReachedWhileLoading: boolean,
): Promise<TriedLine> {
  const { number } = mutant;
  const startedUs = processorTimeUs();
  const isSpent = (): boolean => processorTimeUs() - startedUs > MUTANT_BUDGET_US;
  const reaching = known.filter(({ reached }) => reached[number] === 1);
  if (reaching.length === 0 && !isReachedWhileLoading) return { number, outcome: 'unreached' };
  for (const test of reaching) {
    if (isSpent()) return { number, outcome: 'survived', isSpent: true };
    const failure = await failureOf(number, test.run, test.durationUs);
    if (failure !== null) return { number, outcome: failure, by: nameOf(test) };
  }
  return isReachedWhileLoading ? tryWhileLoading(mutant, known, isSpent) : { number, outcome: 'survived' };
}

/** What is computed when a module is loaded is only changed for those that load it anew. */
async function tryWhileLoading(
  { number, file: source }: PlannedMutant,
  known: readonly KnownTest[],
  isSpent: () => boolean,
): Promise<TriedLine> {
  const durationOf = (file: string): number =>
    known.reduce((sum, test) => sum + (test.file === file ? test.durationUs : 0), 0);
  const files = plan.tests
    .filter(({ reaches }) => reaches.includes(source))
    .map(({ file }) => ({ file, durationUs: durationOf(file) }))
    .toSorted((a, b) => a.durationUs - b.durationUs);
  for (const { file } of files) {
    if (isSpent()) return { number, outcome: 'survived', isSpent: true };
    vi.resetModules();
    let tests: readonly CollectedTest[] = [];
    const failed = await failureOf(number, async () => (tests = await loadTests(file)), 2 * SLOWER_US);
    if (failed !== null) return { number, outcome: failed, by: `${file} > (loading)` };
    const ordered = known.filter((test) => test.file === file);
    for (const { name, durationUs } of ordered) {
      const test = tests.find((one) => one.name === name);
      if (test === undefined) return { number, outcome: 'killed', by: `${file} > (a case of it is gone)` };
      if (isSpent()) return { number, outcome: 'survived', isSpent: true };
      const failure = await failureOf(number, test.run, durationUs);
      if (failure !== null) return { number, outcome: failure, by: `${file} > ${name}` };
    }
  }
  return { number, outcome: 'survived' };
}

/** How it fails with this mutant; null where it passes. */
async function failureOf(number: number, run: () => unknown, usualUs: number): Promise<Failure | null> {
  let stuck: NodeJS.Timeout | undefined;
  $mutation.endsAtUs = processorTimeUs() + SLOWER_TIMES * usualUs + SLOWER_US;
  $mutation.active = number;
  try {
    await Promise.race([
      run(),
      new Promise((_resolve, reject) => {
        stuck = setTimeout(() => {
          reject(new EndlessLoop('Nothing happens any more.'));
        }, STUCK_MS);
      }),
    ]);
    return null;
  } catch (error) {
    return error instanceof EndlessLoop ? 'endless' : 'killed';
  } finally {
    clearTimeout(stuck);
    $mutation.active = 0;
    $mutation.endsAtUs = Infinity;
  }
}

const nameOf = ({ file, name }: KnownTest): string => `${file} > ${name}`;

async function standsWithoutMutant(name: string, known: readonly KnownTest[]): Promise<boolean> {
  const test = known.find((one) => nameOf(one) === name);
  return test === undefined || (await failureOf(0, test.run, test.durationUs)) === null;
}
