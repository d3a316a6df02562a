import type { TrialMeasure } from './trial-measure.ts';

/** "torqueAt.5", "timeToLevel.400", "sustainedTorque". */
export function measureKey(measure: TrialMeasure): string {
  switch (measure.figure) {
    case 'torqueAt':
      return `${measure.figure}.${measure.atS}`;
    case 'timeToLevel':
      return `${measure.figure}.${measure.levelNm}`;
    default:
      return measure.figure;
  }
}
