import './require-node.mjs';
import { parseArgs } from 'node:util';
import { describeMachine } from './measured-figures.ts';
import { type Choice, type MutatedFile, planMutation, sampleOf } from './mutation/mutation-plan.ts';
import {
  explained,
  type FileResult,
  type GroupResult,
  type MutationResults,
  readResults,
  resultOfFile,
  type Survivor,
  survivorsBefore,
  survivorsOf,
  withFiles,
  writeResults,
} from './mutation/mutation-result.ts';
import { numericHeart } from './mutation/numeric-heart.ts';
import { runPlan } from './mutation/run-plan.ts';
import { figuresOf, writeDocument } from './mutation/write-document.ts';

/**
 * `npm run mutation`: how many small changes of the numeric heart its unit tests find.
 *
 * `-- verdict standings`: these groups only; `-- theil-sen`: files whose paths hold this, told but not written down, unless with
 * `--write`, in the place of what was known of them; `--again`: only what survived before, after tests were written for it, of groups
 * or files, and written down; `--explain`: nothing is tried, only the reasons of survivors are written anew; `--full`: all mutants;
 * `--per-file 60` and `--seed 7`: another sample.
 */
const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    again: { type: 'boolean', default: false },
    explain: { type: 'boolean', default: false },
    full: { type: 'boolean', default: false },
    write: { type: 'boolean', default: false },
    'per-file': { type: 'string', default: '30' },
    seed: { type: 'string', default: '20261126' },
  },
});
const perFile = values.full ? null : wholeNumber('--per-file', values['per-file']);
const seed = wholeNumber('--seed', values.seed);
const choice: Choice = perFile === null ? (mutants) => mutants : sampleOf(perFile, seed);
const groups = Object.keys(numericHeart);

if (values.explain) {
  writeDown(readResults());
} else if (positionals.every((name) => groups.includes(name))) {
  for (const group of positionals.length > 0 ? positionals : groups) await runGroup(group);
} else {
  await runFiles(positionals);
}

async function runFiles(names: readonly string[]): Promise<void> {
  const before = Object.values(readResults());
  const { files, survivors } = await tryFiles(names, values.again ? survivorsBefore(before) : choice);
  for (const survivor of survivors) say(describeSurvivor(survivor));
  if (!values.again && !values.write) {
    say('Not whole groups, so nothing was written down; --write does.');
    return;
  }
  const sample = values.again ? null : { seed, perFile };
  const results = Object.entries(readResults()).map(
    ([name, result]) => [name, withFiles(result, sourcesOf(name), { files, survivors }, sample)] as const,
  );
  writeDown(Object.fromEntries(results));
}

function sourcesOf(group: string): string[] {
  return (numericHeart[group] ?? []).map((name) => `shared-lib/${name}.ts`);
}

async function runGroup(group: string): Promise<void> {
  const names = numericHeart[group] ?? [];
  const before = readResults()[group];
  const result = values.again ? await tryAgain(names, before) : await tryAnew(names);
  // Read again: another run may have written in the meantime.
  writeDown({ ...readResults(), [group]: result });
}

function writeDown(results: MutationResults): void {
  const inOrder = Object.fromEntries(
    groups.flatMap((name) => {
      const result = results[name];
      return result === undefined ? [] : [[name, explained(result)]];
    }),
  );
  writeResults(inOrder);
  writeDocument(inOrder);
  say('Written to mutation/latest.json and docs/mutation-testing.md.');
}

async function tryAnew(names: readonly string[]): Promise<GroupResult> {
  const { files, survivors } = await tryFiles(names, choice);
  const machine = describeMachine();
  return { date: new Date().toISOString(), againDate: null, machine, seed, perFile, files, survivors };
}

/** What a test found before it finds again, since neither source nor test has changed; tests may have come. */
async function tryAgain(names: readonly string[], before: GroupResult | undefined): Promise<GroupResult> {
  if (before === undefined) throw new Error('Nothing was tried before: run this without --again first.');
  const { survivors } = await tryFiles(names, survivorsBefore([before]));
  const files = before.files.map((file) => resultOfFile(file, file.tried, survivors));
  return { ...before, againDate: new Date().toISOString(), files, survivors };
}

async function tryFiles(
  wanted: readonly string[],
  choose: Choice,
): Promise<{ readonly files: readonly FileResult[]; readonly survivors: readonly Survivor[] }> {
  const { plan, files } = planMutation(wanted, choose);
  if (files.length === 0) {
    throw new Error(`No file of the numeric heart has ${wanted.join(' or ')} in its path.`);
  }
  say(
    `${plan.mutants.length} mutants of ${files.length} files, against ${plan.tests.length} files of unit tests.`,
  );
  const survivors = survivorsOf(plan.mutants, await runPlan(plan, say));
  const triedOf = ({ file }: MutatedFile): number =>
    plan.mutants.filter((mutant) => mutant.file === file).length;
  const results = files.map((file) => resultOfFile(file, triedOf(file), survivors));
  for (const result of results) say(describeFile(result.file, figuresOf([result])));
  say(describeFile('all', figuresOf(results)));
  return { files: results, survivors };
}

function describeFile(
  name: string,
  [tried = '', killed = '', percent = '', percentWithout = '']: readonly string[],
): string {
  return `${name}: ${killed} of ${tried} killed, ${percent} % (${percentWithout} % without equivalent ones).`;
}

function describeSurvivor({ file, line, original, replacement, outcome, isSpent, why }: Survivor): string {
  const note = why ?? (isSpent ? 'time ran out' : outcome);
  return `${file}:${line}  ${original.replaceAll(/\s+/g, ' ')}  =>  ${replacement || '(nothing)'}  [${note}]`;
}

function wholeNumber(option: string, text: string): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 1)
    throw new Error(`${option} wants a whole number from 1 up, not "${text}".`);
  return value;
}
