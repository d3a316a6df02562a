import type { TorqueUnit } from '../../api-contract.ts';
import { assertNever } from '../../assert-never.ts';
import type { CalibrationSense, CalibrationVersion } from '../calibration-model.ts';
import { formatNumber, fromOwnUnit, THIN_SPACE, unitLabel } from '../../format-quantity.ts';
import type { Transducer } from '../../trial/trial-model.ts';

export function methodWords(method: CalibrationVersion['method']): string {
  switch (method) {
    case 'direct':
      return 'known torque at known counts';
    case 'oneWeight':
      return 'one weight on an arm';
    case 'ratedOutput':
      return 'rated output of the data sheet';
    case 'weightsOnArm':
      return 'weights on an arm';
    case 'loadCell':
      return 'weights on the load cell, times the length of the reaction arm';
    case 'oneWeightTwoArms':
      return 'one weight at two arm lengths';
    case 'simulated':
      return 'the simulated bench’s own';
    default:
      return assertNever(method, 'This method has no words');
  }
}

/** Five significant digits: more than the arm and the weights of a bench can carry. */
export function gainWords(gainNmPerCount: number, unit: TorqueUnit): string {
  const perThousand = fromOwnUnit(gainNmPerCount * 1000, unit);
  const decimals = Math.max(0, 4 - Math.floor(Math.log10(Math.abs(perThousand))));
  return `${formatNumber(perThousand, Math.min(decimals, 12))}${THIN_SPACE}${unitLabel(unit)} per 1000 counts`;
}

export function senseWords(
  sense: CalibrationSense | null,
  unit: TorqueUnit,
  formatTorque: (torqueNm: number) => string,
): string {
  if (sense === null) return 'not calibrated';
  return `${gainWords(sense.gainNmPerCount, unit)}, up to ${formatTorque(sense.validToNm)}`;
}

export function uncertaintyWords(enteredUncertaintyPercent: number | null): string {
  return enteredUncertaintyPercent === null
    ? 'not stated'
    : `±${formatNumber(enteredUncertaintyPercent, 2)}${THIN_SPACE}% as entered`;
}

/** A guided run states its uncertainty for each torque, in its report. */
export function versionUncertaintyWords({
  runId,
  enteredUncertaintyPercent,
}: Pick<CalibrationVersion, 'runId' | 'enteredUncertaintyPercent'>): string {
  return runId !== null && enteredUncertaintyPercent === null
    ? 'for each torque, in its report'
    : uncertaintyWords(enteredUncertaintyPercent);
}

export function operatorWords(operator: string): string {
  return operator === '' ? 'no operator named' : operator;
}

/** Loading a transducer beyond its rating hurts people and the transducer, so it is said before the weight is hung. */
export function ratingCaution(
  torqueNm: number,
  transducer: Pick<Transducer, 'capacityNm' | 'rigLimitNm'> | null,
  formatTorque: (torqueNm: number) => string,
): string | null {
  const limits = [
    { name: 'the capacity of the transducer', limitNm: transducer?.capacityNm ?? null },
    { name: 'the limit of the rig', limitNm: transducer?.rigLimitNm ?? null },
  ];
  const exceeded = limits.flatMap(({ name, limitNm }) =>
    limitNm !== null && torqueNm > limitNm ? [`${name}, ${formatTorque(limitNm)}`] : [],
  );
  if (exceeded.length === 0) return null;
  return `This makes ${formatTorque(torqueNm)}, which is more than ${exceeded.join(' and ')}. Do not load it so.`;
}

export function trialsLeftWords(trialsLeft: number): string {
  if (trialsLeft <= 0) return 'no trials left';
  return trialsLeft === 1 ? '1 more trial' : `${formatNumber(trialsLeft, 0)} more trials`;
}
