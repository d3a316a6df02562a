import { formatNumber, THIN_SPACE } from '../format-quantity.ts';
import type { HandlingRating, RaterAgreement } from './catalogue-model.ts';
import { foldName } from './fold-name.ts';

/** With fewer, an intraclass correlation says next to nothing (ours). */
const LEAST_TOOLS = 3;

type Score = Pick<HandlingRating, 'toolId' | 'rater' | 'score'>;

/**
 * How far raters agree, over the tools that all of them rated. `ratings`: of each tool the newest of each rater. Raters who
 * rated the fewest tools are left out until three tools are common to those who stay, and the sentence names them.
 */
export function judgeRaterAgreement(ratings: readonly Score[]): RaterAgreement {
  const byRater = new Map<string, Map<string, number>>();
  for (const { rater, toolId, score } of ratings) {
    const key = foldName(rater);
    byRater.set(key, (byRater.get(key) ?? new Map<string, number>()).set(toolId, score));
  }
  const names = new Map(ratings.map(({ rater }) => [foldName(rater), rater]));
  const eager = [...byRater.entries()].toSorted(
    ([a, one], [b, other]) => other.size - one.size || (a < b ? -1 : 1),
  );
  if (eager.length < 2) {
    const who = eager.length === 0 ? 'Nobody has rated yet' : 'One rater only';
    return nothing([...names.values()], 0, `${who}: how far raters agree is known from two on.`);
  }
  const panel = choosePanel(eager.map(([, scores]) => scores));
  if (panel === null) {
    return nothing(
      [...names.values()],
      0,
      'No two raters have rated a tool in common: how far they agree is not known.',
    );
  }
  const raters = eager.slice(0, panel.raterCount).map(([key]) => names.get(key) ?? key);
  const leftOut = eager.slice(panel.raterCount).map(([key]) => names.get(key) ?? key);
  const meanDifference = meanDifferenceOf(panel.scores);
  const icc = panel.scores.length < LEAST_TOOLS ? null : intraclassCorrelation(panel.scores);
  return {
    raters,
    toolCount: panel.scores.length,
    icc,
    meanDifference,
    sentence: [
      `${raters.join(', ')} over ${panel.scores.length === 1 ? 'one tool' : `${panel.scores.length} tools`}:`,
      icc === null
        ? `${whyNoIcc(panel.scores)};`
        : `intraclass correlation${THIN_SPACE}${formatNumber(icc, 2)} (1: all alike, 0 and less: no more than by chance);`,
      `two of them differ by ${formatNumber(meanDifference, 1)} points in the mean.`,
      ...(leftOut.length === 0
        ? []
        : [`Left out, since they have rated too few of the same tools: ${leftOut.join(', ')}.`]),
      'A judgement, not a measurement.',
    ].join(' '),
  };
}

/**
 * Intraclass correlation of one rating: two-way random effects, absolute agreement; ICC(A,1) of McGraw and Wong (1996),
 * ICC(2,1) of Shrout and Fleiss (1979), both from memory. `scores`: a row for each target, a column for each rater. May be
 * below 0. Null where there are fewer than two of either, or where all scores are the same.
 */
export function intraclassCorrelation(scores: readonly (readonly number[])[]): number | null {
  const targetCount = scores.length;
  const raterCount = scores[0]?.length ?? 0;
  if (targetCount < 2 || raterCount < 2) return null;
  const grandMean = mean(scores.flat());
  const targetMeans = scores.map(mean);
  const raterMeans = Array.from({ length: raterCount }, (_, rater) =>
    mean(scores.map((row) => row[rater] ?? NaN)),
  );
  const targetSquare = (raterCount * sumOfSquares(targetMeans, grandMean)) / (targetCount - 1);
  const raterSquare = (targetCount * sumOfSquares(raterMeans, grandMean)) / (raterCount - 1);
  const residuals = scores.flatMap((row, target) =>
    row.map((score, rater) => score - (targetMeans[target] ?? NaN) - (raterMeans[rater] ?? NaN) + grandMean),
  );
  const errorSquare = sumOfSquares(residuals, 0) / ((targetCount - 1) * (raterCount - 1));
  const total =
    targetSquare + (raterCount - 1) * errorSquare + (raterCount * (raterSquare - errorSquare)) / targetCount;
  return total > 1e-12 ? (targetSquare - errorSquare) / total : null;
}

/** The most raters with enough tools in common, or else with any. */
function choosePanel(
  eager: readonly ReadonlyMap<string, number>[],
): { raterCount: number; scores: number[][] } | null {
  for (const least of [LEAST_TOOLS, 1]) {
    for (let raterCount = eager.length; raterCount >= 2; raterCount -= 1) {
      const panel = eager.slice(0, raterCount);
      const common = [...(panel[0]?.keys() ?? [])].filter((toolId) => panel.every((of) => of.has(toolId)));
      if (common.length < least) continue;
      return {
        raterCount,
        scores: common.map((toolId) => panel.map((of) => of.get(toolId) ?? NaN)),
      };
    }
  }
  return null;
}

function meanDifferenceOf(scores: readonly (readonly number[])[]): number {
  return mean(
    scores.flatMap((row) =>
      row.flatMap((score, index) => row.slice(index + 1).map((other) => Math.abs(score - other))),
    ),
  );
}

function whyNoIcc(scores: readonly (readonly number[])[]): string {
  return scores.length < LEAST_TOOLS
    ? `a correlation is worked out from ${LEAST_TOOLS} tools on`
    : 'all ratings are the same, so that no correlation can be worked out';
}

function nothing(raters: string[], toolCount: number, sentence: string): RaterAgreement {
  return { raters, toolCount, icc: null, meanDifference: null, sentence };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function sumOfSquares(values: readonly number[], around: number): number {
  return values.reduce((sum, value) => sum + (value - around) ** 2, 0);
}
