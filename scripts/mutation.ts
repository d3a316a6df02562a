import './require-node.mjs';
import { parseArgs } from 'node:util';
import { describeMachine } from './measured-figures.ts';
import { planMutation } from './mutation/mutation-plan.ts';
import {
  type GroupResult,
  readResults,
  resultOfFile,
  type Survivor,
  writeResults,
} from './mutation/mutation-result.ts';
import { numericHeart } from './mutation/numeric-heart.ts';
import { runPlan } from './mutation/run-plan.ts';
import { figuresOf, writeDocument } from './mutation/write-document.ts';

/**
 * `npm run mutation`: how many small changes of the numeric heart its unit tests find.
 *
 * `-- verdict standings`: these groups only; `-- theil-sen`: files whose paths hold this, told but not written down;
 * `--full`: all mutants; `--per-file 60`, `--seed 7`: another sample.
 */
const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    full: { type: 'boolean', default: false },
    'per-file': { type: 'string', default: '30' },
    seed: { type: 'string', default: '20261126' },
  },
});
const perFile = values.full ? null : wholeNumber('--per-file', values['per-file']);
const seed = wholeNumber('--seed', values.seed);
const groups = Object.keys(numericHeart);
const isOfGroups = positionals.every((name) => groups.includes(name));

if (isOfGroups) {
  for (const group of positionals.length > 0 ? positionals : groups) {
    const { result } = await tryFiles(numericHeart[group] ?? []);
    const results = { ...readResults(), [group]: result };
    const inOrder = Object.fromEntries(
      groups.flatMap((name) => (results[name] === undefined ? [] : [[name, results[name]]])),
    );
    writeResults(inOrder);
    writeDocument(inOrder);
    say(`Written to mutation/latest.json and docs/mutation-testing.md: ${group}.`);
  }
} else {
  const { survivors } = await tryFiles(positionals);
  for (const survivor of survivors) say(describeSurvivor(survivor));
  say('Not whole groups, so nothing was written down.');
}

async function tryFiles(
  wanted: readonly string[],
): Promise<{ readonly result: GroupResult; readonly survivors: readonly Survivor[] }> {
  const { plan, files } = planMutation({ perFile, seed, wanted });
  if (plan.mutants.length === 0) {
    throw new Error(`No file of the numeric heart has ${wanted.join(' or ')} in its path.`);
  }
  say(
    `${plan.mutants.length} mutants of ${files.length} files, against ${plan.tests.length} files of unit tests.`,
  );
  const tried = await runPlan(plan, say);
  const ofFiles = files.map((file) => resultOfFile(file, plan.mutants, tried));
  for (const { result } of ofFiles) say(describeFile(result.file, figuresOf([result])));
  const fileResults = ofFiles.map(({ result }) => result);
  const survivors = ofFiles.flatMap((one) => one.survivors);
  say(describeFile('all', figuresOf(fileResults)));
  return {
    survivors,
    result: {
      date: new Date().toISOString(),
      machine: describeMachine(),
      seed,
      perFile,
      files: fileResults,
      survivors,
    },
  };
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
