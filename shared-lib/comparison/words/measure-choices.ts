import { assertNever } from '../../assert-never.ts';
import { formatNumber, formatQuantity, fromOwnUnit, THIN_SPACE } from '../../format-quantity.ts';
import { isTime } from '../measure-words.ts';
import type { ComparedStep, TrialMeasure } from '../trial-measure.ts';
import { levelWords } from '../../level-words.ts';
import type { TorqueDisplay } from '../../torque-display.ts';
import { measureKey } from '../measure-key.ts';

/** Instants at which torque is measured. */
const checkpointsS = [1, 2, 3, 5, 10, 15] as const;

export type TorqueWords = Pick<TorqueDisplay, 'unit' | 'unitLabel' | 'decimals' | 'format' | 'formatNumber'>;

/**
 * What trials of a step can be compared by, what its kind is about first. `levelsNm`: torques whose times are measured, as Setup
 * has them. The result of a breakaway is the preload that it released, and nothing else of it says how strong a tool is.
 */
export function measuresOf(step: ComparedStep, levelsNm: readonly number[]): TrialMeasure[] {
  const torques: TrialMeasure[] = [
    ...checkpointsS
      .filter((atS) => atS <= step.plannedS)
      .map((atS): TrialMeasure => ({ figure: 'torqueAt', atS })),
    { figure: 'finalTorque' },
  ];
  const times: TrialMeasure[] = [
    { figure: 'timeTo90Percent' },
    ...levelsNm.map((levelNm): TrialMeasure => ({ figure: 'timeToLevel', levelNm })),
  ];
  const sustained: TrialMeasure = { figure: 'sustainedTorque' };
  switch (step.kind) {
    case 'tighten':
      return [sustained, ...torques, ...times];
    case 'stall':
      return [{ figure: 'stallTorque' }, sustained, ...torques, ...times];
    case 'breakaway':
      return [{ figure: 'releasedPreload' }];
    case 'endurance':
      return [{ figure: 'lastTorque' }, sustained, ...torques, ...times];
    default:
      return assertNever(step.kind, 'This kind of step has no measures');
  }
}

export function firstMeasure(step: ComparedStep): TrialMeasure {
  const [first] = measuresOf(step, []);
  return first ?? { figure: 'sustainedTorque' };
}

/** Whether trials of the step can have it at all; any level may be asked for. */
export function fitsStep(measure: TrialMeasure, step: ComparedStep): boolean {
  const levels = measure.figure === 'timeToLevel' ? [measure.levelNm] : [];
  return measuresOf(step, levels).some((one) => measureKey(one) === measureKey(measure));
}

/** In a list of measures: "Torque at 5 s". */
export function measureName(measure: TrialMeasure, torque: TorqueWords): string {
  switch (measure.figure) {
    case 'sustainedTorque':
      return 'Sustained torque';
    case 'finalTorque':
      return 'Final torque';
    case 'torqueAt':
      return `Torque at ${measure.atS}${THIN_SPACE}s`;
    case 'timeTo90Percent':
      return `Time to 90${THIN_SPACE}% of its own sustained torque`;
    case 'timeToLevel':
      return `Time to ${levelWords(measure.levelNm, torque.unit)}`;
    case 'stallTorque':
      return 'Stall torque';
    case 'releasedPreload':
      return 'Released preload';
    case 'lastTorque':
      return 'Torque in the last tenth';
    default:
      return assertNever(measure, 'This measure has no name');
  }
}

/** What a margin is chosen for: all instants share one, and all torques that times are taken to. */
export function figureName(measure: TrialMeasure, torque: TorqueWords): string {
  switch (measure.figure) {
    case 'torqueAt':
      return 'Torque at an instant';
    case 'timeToLevel':
      return 'Time to a torque';
    default:
      return measureName(measure, torque);
  }
}

/** What a person would ask: "Who reaches 400 N·m first?" */
export function measureQuestion(measure: TrialMeasure, torque: TorqueWords): string {
  switch (measure.figure) {
    case 'sustainedTorque':
      return 'Who holds more torque?';
    case 'finalTorque':
      return 'Who is ahead at the end?';
    case 'torqueAt':
      return `Who is ahead at ${measure.atS}${THIN_SPACE}s?`;
    case 'timeTo90Percent':
      return 'Who gets going sooner?';
    case 'timeToLevel':
      return `Who reaches ${levelWords(measure.levelNm, torque.unit)} first?`;
    case 'stallTorque':
      return 'Who stalls higher?';
    case 'releasedPreload':
      return 'Who releases more?';
    case 'lastTorque':
      return 'Who has more left at the end of the charge?';
    default:
      return assertNever(measure, 'This measure has no question');
  }
}

/** Times to a torque are short, and differ by little. */
const TIME_DECIMALS = 3;

/** How values of a measure are written, and where they stand on an axis. */
export interface MeasureDisplay {
  readonly unitLabel: string;
  readonly format: (value: number) => string;
  readonly formatNumber: (value: number) => string;
  /** From N·m or s to the shown unit. */
  readonly toShown: (value: number) => number;
}

export function measureDisplay(measure: TrialMeasure, torque: TorqueWords): MeasureDisplay {
  if (isTime(measure)) {
    return {
      unitLabel: 's',
      format: (timeS) => formatQuantity(timeS, 's', TIME_DECIMALS),
      formatNumber: (timeS) => formatNumber(timeS, TIME_DECIMALS),
      toShown: (timeS) => timeS,
    };
  }
  return {
    unitLabel: torque.unitLabel,
    format: torque.format,
    formatNumber: torque.formatNumber,
    toShown: (torqueNm) => fromOwnUnit(torqueNm, torque.unit),
  };
}
