import type { TrialCurve } from '../../../shared-lib/api-contract.ts';
import type { CurveChart } from '../../../shared-lib/charts/chart-model.ts';
import { drawnSign } from '../../../shared-lib/charts/drawn-sign.ts';
import { formatRate } from '../../../shared-lib/format-quantity.ts';
import { colourTrials, labelTrials } from '../../../shared-lib/overlay/replay-curves.ts';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { stepWords } from '../../../shared-lib/trial/words/pull-words.ts';

/** A trial with the curve that is drawn of it. */
export interface ReplayedTrial {
  readonly record: TrialRecord;
  readonly curve: TrialCurve;
}

/** Instants of a curve that are asked for: as many as a picture has columns. */
export const replayedBins = 1400;
/** Before onset, as a share of the planned time, and so much of it the chart shows. */
const LEAD_IN_SHARE = 0.04;

/** Of which instant to which the replay goes. */
export function extentOf({ plannedS }: Pick<CurveChart, 'plannedS'>): {
  readonly fromS: number;
  readonly toS: number;
} {
  return { fromS: -LEAD_IN_SHARE * plannedS, toS: plannedS };
}

/** Runs side by side, each from its own onset, as the one chart code draws them. `formatDay` writes an instant as a day. */
export function replayChart(
  trials: readonly ReplayedTrial[],
  formatDay: (instant: string) => string,
): CurveChart {
  const summaries = trials.map(({ record }) => record.summary);
  const labels = labelTrials(summaries);
  const colours = colourTrials(summaries.map(({ step }) => step.toolName));
  const steps = unique(summaries.map(({ step }) => stepWords(step)));
  const days = unique(summaries.map(({ startedAt }) => formatDay(startedAt)));
  const rates = unique(trials.map(({ curve }) => formatRate(curve.sampleRateHz)));
  return {
    kind: 'curves',
    title: listed(unique(labels)),
    subtitle: `${steps.join('; ')}; each from its own onset, at true speed`,
    notes: [
      `${trials.length === 1 ? 'One run' : 'One run each'}, ${days.join(', ')}; ${rates.join(', ')}; smoothed by a low-pass for the eye. Static calibration; dynamic error not included.`,
      ...(summaries.some(({ isVoided }) => isVoided)
        ? ['Voided runs are among them; they do not count.']
        : []),
      ...(summaries.some(({ isSimulated }) => isSimulated) ? ['Simulated bench (demo).'] : []),
    ],
    curves: trials.map(({ record, curve }, index) => ({
      trialId: record.summary.id,
      label: `${labels[index] ?? ''}${record.summary.isVoided ? ' (voided)' : ''}`,
      colour: colours[index] ?? 0,
      ...drawnCurve(curve, drawnSign(record.summary.step)),
    })),
    plannedS: Math.max(...summaries.map(({ step }) => step.plannedS)),
    levels: [],
    checkpoints: [],
  };
}

/** The curve for the eye in the direction of its step; under 80 Sa/s, where there is none, the middle of least and greatest. */
function drawnCurve(curve: TrialCurve, sign: 1 | -1): { timeS: Float64Array; torqueNm: Float64Array } {
  const { minNm, maxNm, binStartS, binWidthS } = curve;
  const isForTheEye = curve.displayTimeS.length > 0;
  const torqueNm = isForTheEye
    ? curve.displayNm
    : minNm.map((least, index) => (least + (maxNm[index] ?? Number.NaN)) / 2);
  return {
    timeS: isForTheEye ? curve.displayTimeS : minNm.map((_, index) => binStartS + (index + 0.5) * binWidthS),
    torqueNm: sign === 1 ? torqueNm : torqueNm.map((value) => -value),
  };
}

function unique(words: readonly string[]): string[] {
  return [...new Set(words)];
}

function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}
