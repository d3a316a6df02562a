import { trialsLeftWords } from '../../shared-lib/calibration/words/calibration-sentences.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { CheckState } from '../../shared-lib/calibration/daily-check-model.ts';
import type { CalibrationRun } from '../../shared-lib/calibration/run-model.ts';
import { formatNumber } from '../../shared-lib/format-quantity.ts';
import type { StateShapeName } from '../ui/StateShape.tsx';
import { calibrateAddresses } from './calibrate-addresses.ts';

export type CalibrationInUse = NonNullable<BenchStatus['calibration']>;

/** Until when a calibration holds, in words; `formatDay` takes a day such as 2026-03-31. */
export function validityWords(
  {
    validUntil,
    trialsLeft,
    isExpired,
    check,
  }: Pick<CalibrationInUse, 'validUntil' | 'trialsLeft' | 'isExpired' | 'check'>,
  formatDay: (day: string) => string,
): string {
  if (check.state === 'failed') return 'Not now: its daily check failed';
  if (isExpired) {
    // Of two limits only the one that was reached says why: the day may still be to come, or trials be left.
    if (trialsLeft === 0) return `Its time is over: ${trialsLeftWords(0)}`;
    return `Its time is over: ${validUntil === null ? 'it has to be made anew' : `held until ${formatDay(validUntil)}`}`;
  }
  const limits = [
    ...(validUntil === null ? [] : [`until ${formatDay(validUntil)}`]),
    ...(trialsLeft === null ? [] : [trialsLeftWords(trialsLeft)]),
  ];
  if (limits.length === 0) return 'No end was set for it';
  return limits.length === 1 ? capitalised(limits[0] ?? '') : capitalised(limits.join(', or for '));
}

export const checkWords: Readonly<Record<CheckState['state'], string>> = {
  noCalibration: 'nothing to check yet',
  none: 'not checked yet',
  due: 'check is due',
  passed: 'check passed',
  failed: 'check failed',
};

export function checkShape(state: CheckState['state']): StateShapeName {
  switch (state) {
    case 'noCalibration':
    case 'none':
      return 'off';
    case 'due':
      return 'caution';
    case 'passed':
      return 'good';
    case 'failed':
      return 'fault';
    default:
      return assertNever(state, 'This state of the check has no shape');
  }
}

export interface NextAction {
  readonly key: 'goOn' | 'calibrate' | 'check' | 'failed' | 'none';
  readonly sentence: string;
  readonly label: string | null;
  readonly address: string;
}

/** The one next right thing of the place; an open run comes first, since its weights still stand there. */
export function nextAction(
  calibration: CalibrationInUse | null,
  run: Pick<CalibrationRun, 'state' | 'taken' | 'readings'> | null,
): NextAction {
  if (run !== null) {
    const readings = `${formatNumber(run.taken.length, 0)} of ${formatNumber(run.readings.length, 0)} readings are taken`;
    return run.state === 'complete'
      ? {
          key: 'goOn',
          sentence: `A guided calibration is complete and waits to be accepted: ${readings}.`,
          label: 'Open run: look at the result',
          address: calibrateAddresses.run,
        }
      : {
          key: 'goOn',
          sentence: `A guided calibration is ${run.state === 'paused' ? 'paused' : 'open'}: ${readings}, nothing of it is lost.`,
          label: 'Open run: go on',
          address: calibrateAddresses.run,
        };
  }
  if (calibration === null) {
    return {
      key: 'calibrate',
      sentence: 'There is no calibration, so the Bench shows counts.',
      label: 'New guided calibration',
      address: calibrateAddresses.run,
    };
  }
  const check = calibration.check;
  if (check.state === 'failed') {
    return {
      key: 'failed',
      sentence: check.sentence,
      label: 'Look at the failed check',
      address: calibrateAddresses.check,
    };
  }
  if (calibration.isExpired) {
    return {
      key: 'calibrate',
      sentence: 'The calibration in use has reached its end. Calibrate anew before the next trials.',
      label: 'New guided calibration',
      address: calibrateAddresses.run,
    };
  }
  if (check.state === 'passed') {
    return { key: 'none', sentence: check.sentence, label: null, address: calibrateAddresses.check };
  }
  return {
    key: 'check',
    sentence: check.sentence,
    label: 'Daily check, two minutes',
    address: calibrateAddresses.check,
  };
}

function capitalised(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}
