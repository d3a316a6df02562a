import type { ClaimCheck } from '../../../shared-lib/comparison/comparison-model.ts';
import type { TorqueDisplay } from '../../ui/torque-display.ts';
import { claimNames } from '../tool-sentences.ts';

export const claimVerdictWords: Readonly<Record<ClaimCheck['verdict'], string>> = {
  reached: 'Reached',
  notReached: 'Not reached',
  cannotTell: 'Cannot be told',
  notComparable: 'Not comparable',
  noTrials: 'No trials yet',
};

/** "Fastening, 1200 N·m, data sheet". */
export function claimTitle(
  { kind, claimedNm, source }: ClaimCheck,
  formatClaim: (torqueNm: number) => string,
): string {
  return `${claimNames[kind]}, ${formatClaim(claimedNm)}, ${source}`;
}

/** What was measured, with the bounds of a one-sided 95 % interval each; null where there is nothing to bound. */
export function measuredWords(check: ClaimCheck, { format }: TorqueDisplay): string | null {
  const { meanNm, lowerBoundNm, upperBoundNm, count } = check;
  if (meanNm === null) return null;
  const mean = `Mean of ${count === 1 ? '1 trial' : `${count} trials`}: ${format(meanNm)}`;
  return lowerBoundNm === null || upperBoundNm === null
    ? `${mean}.`
    : `${mean}; bounds ${format(lowerBoundNm)} and ${format(upperBoundNm)}, 95 % each on its side.`;
}

/** The part of the scatter and of the calibration in it, as standard uncertainties. */
export function uncertaintyWords(
  { scatterNm, calibrationNm }: ClaimCheck,
  { format }: TorqueDisplay,
): string | null {
  const parts = [
    ...(scatterNm === null ? [] : [`scatter of the runs ${format(scatterNm)}`]),
    ...(calibrationNm === null ? [] : [`calibration ${format(calibrationNm)}`]),
  ];
  return parts.length === 0 ? null : `Standard uncertainties: ${parts.join(', ')}.`;
}
