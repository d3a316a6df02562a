import type { PlannedReading, RunSeries, RunWay } from '../../../shared-lib/calibration/run-model.ts';

export interface Option<Key extends string> {
  readonly key: Key;
  readonly label: string;
  readonly note: string;
}

export const runWays: readonly Option<RunWay>[] = [
  {
    key: 'weightsOnArm',
    label: 'Weights on an arm',
    note: 'The arm sits on the transducer as the tool would; its torque is what the weights make of it. The best there is here.',
  },
  {
    key: 'loadCell',
    label: 'Load cell with a reaction arm',
    note: 'Weights hang on the load cell alone; torque is their force times the length of the reaction arm, which has an uncertainty of its own.',
  },
  {
    key: 'oneWeight',
    label: 'One weight at two arm lengths',
    note: 'Gives the sensitivity from a single weight. No class, and nothing about how straight the line is.',
  },
];

/** What each gives and what it cannot give; how many minutes is said beside it. */
export const runSeriesOptions: readonly Option<Exclude<RunSeries, 'twoArmLengths'>>[] = [
  {
    key: 'full',
    label: 'Full',
    note: 'Three mountings, rising and falling. Gives repeatability, reproducibility, reversibility and a class.',
  },
  {
    key: 'notRemountable',
    label: 'Without remounting',
    note: 'Rising, rising, falling in one mounting. Gives repeatability and reversibility; no reproducibility and no class.',
  },
  {
    key: 'quick',
    label: 'Quick',
    note: 'Once up and once down. Gives a fit and reversibility; no repeatability and no class.',
  },
];

/** Walking, hanging and waiting until nothing swings, for one change of weights (ours, on the short side). */
const HANDS_S = 20;
const REMOUNT_S = 180;

/** How long the readings take a person with weights, in minutes. */
export function minutesOf(readings: readonly PlannedReading[], dwellS: number): number {
  const seconds = readings.reduce((sum, reading) => sum + secondsOf(reading, dwellS), 0);
  return Math.max(1, Math.round(seconds / 60));
}

function secondsOf({ stage, handling }: PlannedReading, dwellS: number): number {
  const handled = handling === null ? 0 : REMOUNT_S;
  switch (stage) {
    case 'warmUp':
      return 600 + handled;
    case 'creep30':
      return 30 + handled;
    case 'creep300':
      return 270 + handled;
    case 'exercise':
    case 'zeroBefore':
    case 'increasing':
    case 'decreasing':
    case 'zeroAfter':
    case 'bending':
      return HANDS_S + dwellS + handled;
  }
}
