import {
  type Basis,
  basisNotes,
  likeForLikeNote,
  runsWords,
} from '../../../shared-lib/charts/chart-notes.ts';
import { THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import { readingCalibrationId } from '../../../shared-lib/trial/assignment.ts';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { isLowPassed, type ReplayedTrial } from './replayed-trial.ts';

const verdictWords = [
  ['look', 'look at it'],
  ['notUsable', 'not usable'],
] as const satisfies readonly (readonly [TrialSummary['qualityVerdict'], string])[];

/** What stands below a replay: first what must not be overlooked, then what every picture rests on, then how its curves are drawn. */
export function replayNotes(
  trials: readonly ReplayedTrial[],
  labels: readonly string[],
  dayOf: Basis['dayOf'],
): string[] {
  const records = trials.map(({ record }) => record);
  const calibrations = new Map(
    trials.map(({ record, calibration }) => [readingCalibrationId(record), calibration] as const),
  );
  const basis: Basis = { records, calibrations: [...calibrations.values()], dayOf };
  return [
    ...voidedNote(trials),
    ...qualityNotes(trials, labels),
    `n: ${runsWords(trials.length)}${trials.length === 1 ? '' : ', a curve each'}.`,
    ...basisNotes(basis, { cautions: [...likeForLikeNote(basis), ...curveNotes(trials, labels)] }),
  ];
}

function voidedNote(trials: readonly ReplayedTrial[]): string[] {
  if (!trials.some(({ record }) => record.summary.isVoided)) return [];
  return [
    trials.length === 1 ? 'Voided: it does not count.' : 'Voided runs are among them; they do not count.',
  ];
}

function qualityNotes(trials: readonly ReplayedTrial[], labels: readonly string[]): string[] {
  return verdictWords.flatMap(([verdict, words]) => {
    const judged = labels.filter((_, index) => trials[index]?.record.summary.qualityVerdict === verdict);
    if (judged.length === 0) return [];
    return [`Quality${trials.length === 1 ? '' : ` of ${judged.join(' and ')}`}: ${words}.`];
  });
}

/** The figures that run beside the curves are read off these, not off the measuring curve. */
function curveNotes(trials: readonly ReplayedTrial[], labels: readonly string[]): string[] {
  const unfiltered = labels.filter((_, index) => {
    const curve = trials[index]?.curve;
    return curve !== undefined && !isLowPassed(curve);
  });
  const middles = 'drawn is the middle of the least and the greatest sample of each instant';
  if (unfiltered.length > 0 && unfiltered.length === trials.length) {
    return [`Curves and the torque beside them are not low-passed, since the rate is too low: ${middles}.`];
  }
  const but =
    unfiltered.length === 0
      ? ''
      : `, but for ${unfiltered.join(' and ')}, where the rate is too low: ${middles}`;
  return [`Curves and the torque beside them are low-passed at 20${THIN_SPACE}Hz for the eye${but}.`];
}
