import { formatQuantity, formatTorqueInBothUnits } from '../format-quantity.ts';
import { RELEASED_AT_LEAST } from './comparison-words.ts';
import type { ComparedStep, TrialMeasure } from './trial-measure.ts';

/** How a measure and a step are named inside a sentence, and how values of a measure are written there. */
export function describeMeasure(measure: TrialMeasure): string {
  switch (measure.figure) {
    case 'sustainedTorque':
      return 'sustained torque';
    case 'finalTorque':
      return 'final torque';
    case 'torqueAt':
      return `torque at ${formatQuantity(measure.atS, 's', 0)}`;
    case 'timeTo90Percent':
      return `time to ${formatQuantity(90, 'percent', 0)} of its sustained torque`;
    case 'timeToLevel':
      return `time to ${torque(measure.levelNm)}`;
    case 'stallTorque':
      return 'stall torque';
    case 'releasedPreload':
      return 'released preload';
    case 'lastTorque':
      return 'torque in the last tenth';
  }
}

/** "tighten forward 5 s". */
export function describeComparedStep({ kind, direction, plannedS }: ComparedStep): string {
  return `${kind} ${direction} ${formatQuantity(plannedS, 's', Number.isInteger(plannedS) ? 0 : 1)}`;
}

export function isTime({ figure }: TrialMeasure): boolean {
  return figure === 'timeTo90Percent' || figure === 'timeToLevel';
}

/** Times are better short, torques high. */
export function betterOf(measure: TrialMeasure): 'more' | 'less' {
  return isTime(measure) ? 'less' : 'more';
}

/** A value of the measure in N·m or s, torque in both units. */
export function formatMeasured(measure: TrialMeasure, value: number): string {
  return isTime(measure) ? formatQuantity(value, 's', Math.abs(value) < 10 ? 3 : 2) : torque(value);
}

/** A difference of two values: one decimal more than a torque, since it is the small one. */
export function formatMeasuredDifference(measure: TrialMeasure, difference: number): string {
  return isTime(measure)
    ? formatQuantity(difference, 's', 3)
    : formatTorqueInBothUnits(difference, Math.abs(difference) < 100 ? 1 : 0);
}

/** "320 N·m (236 ft·lbf)": as many digits as a torque bears. */
function torque(torqueNm: number): string {
  return formatTorqueInBothUnits(torqueNm, Math.abs(torqueNm) < 1000 ? 1 : 0);
}

/** "5 %" or "2.5 %". */
export function formatPercent(percent: number): string {
  return formatQuantity(percent, 'percent', Number.isInteger(percent) ? 0 : 1);
}

/** Why trials of a step have no such measure, as a whole sentence; null: they can have it. */
export function whyNotMeasured({ kind, plannedS }: ComparedStep, measure: TrialMeasure): string | null {
  const { figure } = measure;
  if (figure === 'stallTorque' && kind !== 'stall')
    return `Only a stall has a stall torque, not a pull of kind ${kind}.`;
  if (figure === 'releasedPreload' && kind !== 'breakaway') {
    return `Only a breakaway has a preload that is released, not a pull of kind ${kind}.`;
  }
  if (figure === 'lastTorque' && kind !== 'endurance') {
    return `Only an endurance run has a torque in its last tenth, not a pull of kind ${kind}.`;
  }
  if (kind === 'breakaway' && figure !== 'releasedPreload') {
    return `A breakaway is about the preload that is released, and has no ${describeMeasure(measure)} to compare.`;
  }
  if (figure === 'torqueAt' && measure.atS > plannedS) {
    return `A pull of ${formatQuantity(plannedS, 's', Number.isInteger(plannedS) ? 0 : 1)} ends before ${formatQuantity(measure.atS, 's', 0)}.`;
  }
  return null;
}

/** What is to be known where preloads that were released are held side by side. */
export function releaseCautions({ figure }: TrialMeasure): string[] {
  return figure === 'releasedPreload'
    ? [`${RELEASED_AT_LEAST} Who is ahead by it had more to release, and need not be the stronger one.`]
    : [];
}
