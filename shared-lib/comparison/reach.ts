import type { Distributions } from '../calibration/distributions.ts';
import { ratioOf } from './checkpoints.ts';
import type { Reach } from './comparison-model.ts';
import { intervalOf, welch } from './welch.ts';
import { isScatter } from './complete-rounds.ts';
import { meanOf, standardDeviationOf } from './sums.ts';
import { percentMore, percentText } from './comparison-words.ts';

export interface TimesOfRuns {
  /** Of each run its time to each level, in s from onset; null: not reached. */
  readonly timesS: readonly (readonly (number | null)[])[];
}

export interface ReachInput {
  /** Rising. */
  readonly levelsNm: readonly number[];
  readonly a: TimesOfRuns;
  readonly b: TimesOfRuns;
  readonly words: { readonly a: string; readonly b: string; format(levelNm: number): string };
}

type LevelAnswer = Reach['levels'][number];

const CONFIDENCE = 0.95;

/**
 * Who reaches a torque first, level by level: the ratio of times with its 95 % interval (Welch on ln(time)), each level by
 * itself. `first` where the interval leaves out 1 and all runs reached it, or where only one reaches it and the exact test
 * of Fisher tells that from chance (two-sided 5 %).
 */
export function compareReachTimes(input: ReachInput, distributions: Distributions): Reach {
  const { levelsNm, a, b, words } = input;
  const levels = levelsNm.map((levelNm, index) => answerAt(levelNm, index, a, b, distributions));
  return {
    levels,
    aCount: a.timesS.length,
    bCount: b.timesS.length,
    sentences: stretches(levels, a.timesS.length, b.timesS.length, words),
  };
}

function answerAt(
  levelNm: number,
  index: number,
  a: TimesOfRuns,
  b: TimesOfRuns,
  distributions: Distributions,
): LevelAnswer {
  const [timesA, timesB] = [a, b].map(({ timesS }) => timesS.flatMap((run) => run[index] ?? []));
  const reachedA = timesA ?? [];
  const reachedB = timesB ?? [];
  const ratio = ratioOfTimes(reachedA, reachedB, distributions);
  const doAllReach = reachedA.length === a.timesS.length && reachedB.length === b.timesS.length;
  // Of runs that did not reach it only the quick ones have a time.
  const byTime = !doAllReach || ratio === null ? null : ratio.high < 1 ? 'a' : ratio.low > 1 ? 'b' : null;
  return {
    levelNm,
    aReached: reachedA.length,
    bReached: reachedB.length,
    aMeanS: reachedA.length === 0 ? null : meanOf(reachedA),
    bMeanS: reachedB.length === 0 ? null : meanOf(reachedB),
    ratio,
    first: byTime ?? whoAloneReaches(reachedA.length, a.timesS.length, reachedB.length, b.timesS.length),
  };
}

function ratioOfTimes(
  timesA: readonly number[],
  timesB: readonly number[],
  distributions: Distributions,
): Reach['levels'][number]['ratio'] {
  if (timesA.length < 2 || timesB.length < 2 || [...timesA, ...timesB].some((timeS) => !(timeS > 0)))
    return null;
  const [lnA, lnB] = [timesA.map(Math.log), timesB.map(Math.log)];
  if (!isScatter(standardDeviationOf(lnA)) && !isScatter(standardDeviationOf(lnB))) return null;
  const test = welch(lnA, lnB, distributions);
  return ratioOf(test.difference, intervalOf(test, CONFIDENCE, distributions));
}

/** One all the time, the other never: as likely by chance as one of so many ways of dealing them out. */
function whoAloneReaches(
  aReached: number,
  aCount: number,
  bReached: number,
  bCount: number,
): LevelAnswer['first'] {
  let ways = 1;
  for (let index = 1; index <= aCount; index += 1) ways *= (bCount + index) / index;
  // Two-sided: where both have as many runs, the opposite is as unlikely and counts too.
  const p = (aCount === bCount ? 2 : 1) / ways;
  if (p > 1 - CONFIDENCE) return null;
  if (aReached === aCount && bReached === 0) return 'a';
  return bReached === bCount && aReached === 0 ? 'b' : null;
}

type Answer = 'a' | 'b' | 'onlyA' | 'onlyB' | 'open' | 'neither';

/** Neighbouring levels with one answer, in words. */
function stretches(
  levels: readonly LevelAnswer[],
  aCount: number,
  bCount: number,
  words: ReachInput['words'],
): string[] {
  const rows: { answer: Answer; levels: LevelAnswer[] }[] = [];
  for (const level of levels) {
    const answer = answerOf(level);
    const last = rows.at(-1);
    if (last?.answer === answer) last.levels.push(level);
    else rows.push({ answer, levels: [level] });
  }
  const sentences = rows.map(({ answer, levels: stretch }) =>
    stretchSentence(answer, stretch, aCount, bCount, words),
  );
  return sentences.length === 0
    ? []
    : [
        ...sentences,
        'Each torque is judged by itself (95 %): of twenty, one may stand out by chance. Times count from onset; static calibration, dynamic error not included.',
      ];
}

function answerOf({ aReached, bReached, first }: LevelAnswer): Answer {
  if (aReached === 0 && bReached === 0) return 'neither';
  if (bReached === 0) return 'onlyA';
  if (aReached === 0) return 'onlyB';
  return first ?? 'open';
}

function stretchSentence(
  answer: Answer,
  stretch: readonly LevelAnswer[],
  aCount: number,
  bCount: number,
  words: ReachInput['words'],
): string {
  const [lowest, highest] = [stretch.at(0)?.levelNm ?? 0, stretch.at(-1)?.levelNm ?? 0];
  const where =
    stretch.length === 1
      ? `At ${words.format(lowest)}`
      : `From ${words.format(lowest)} to ${words.format(highest)}`;
  const most = (reached: (level: LevelAnswer) => number): number => Math.max(...stretch.map(reached));
  switch (answer) {
    case 'a':
    case 'b': {
      const [first, second] = answer === 'a' ? [words.a, words.b] : [words.b, words.a];
      return `${where} ${first} is there first${lateness(stretch, second)}.`;
    }
    case 'onlyA':
      return `${where} only ${words.a} gets there, in up to ${most(({ aReached }) => aReached)} of ${aCount} runs; ${words.b} in none of ${bCount}.`;
    case 'onlyB':
      return `${where} only ${words.b} gets there, in up to ${most(({ bReached }) => bReached)} of ${bCount} runs; ${words.a} in none of ${aCount}.`;
    case 'open':
      return `${where} it is too close to call who is there first.`;
    case 'neither':
      return `${where} neither gets there.`;
  }
}

/** By how much later the other is, over the stretch. */
function lateness(stretch: readonly LevelAnswer[], second: string): string {
  const later = stretch.flatMap(({ ratio }) => (ratio === null ? [] : [Math.abs(Math.log(ratio.ratio))]));
  if (later.length === 0) return '';
  const [least, most] = [percentMore(Math.min(...later)), percentMore(Math.max(...later))];
  return most - least < 1
    ? `; ${second} takes ${percentText(most, 0)} longer`
    : `; ${second} takes ${percentText(least, 0)} to ${percentText(most, 0)} longer`;
}
