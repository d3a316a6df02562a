import type { CurveChart } from '../../../shared-lib/charts/chart-model.ts';
import { drawnSign } from '../../../shared-lib/charts/drawn-sign.ts';
import { colourTrials, labelTrials } from '../../../shared-lib/overlay/replay-curves.ts';
import { stepWords } from '../../../shared-lib/trial/words/pull-words.ts';
import { replayNotes } from './replay-notes.ts';
import { drawnCurve, type ReplayedTrial } from './replayed-trial.ts';

/** Before onset, as a share of the planned time, and so much of it the chart shows. */
const LEAD_IN_SHARE = 0.04;

/** Of which instant to which the replay goes. */
export function extentOf({ plannedS }: Pick<CurveChart, 'plannedS'>): {
  readonly fromS: number;
  readonly toS: number;
} {
  return { fromS: -LEAD_IN_SHARE * plannedS, toS: plannedS };
}

/** Runs side by side, each from its own onset, as the one chart code draws them. `dayOf` writes an instant as a day. */
export function replayChart(
  trials: readonly ReplayedTrial[],
  dayOf: (instant: string) => string,
): CurveChart {
  const summaries = trials.map(({ record }) => record.summary);
  const labels = labelTrials(summaries);
  const colours = colourTrials(summaries.map(({ step }) => step.toolName));
  const steps = unique(summaries.map(({ step }) => stepWords(step)));
  return {
    kind: 'curves',
    title: listed(unique(labels)),
    subtitle: `${steps.join('; ')}; each from its own onset, at true speed`,
    notes: replayNotes(trials, labels, dayOf),
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

function unique(words: readonly string[]): string[] {
  return [...new Set(words)];
}

function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}
