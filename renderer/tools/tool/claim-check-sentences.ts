import type { ClaimCheck } from '../../../shared-lib/comparison/comparison-model.ts';
import { THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { TorqueDisplay } from '../../../shared-lib/torque-display.ts';
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

/** Between which bounds the mean lies; null where there are none. The sentence of the check has said the mean itself. */
export function boundsWords(check: ClaimCheck, { format }: TorqueDisplay): string | null {
  const { lowerBoundNm, upperBoundNm } = check;
  if (lowerBoundNm === null || upperBoundNm === null) return null;
  return `Bounds ${format(lowerBoundNm)} and ${format(upperBoundNm)}, 95${THIN_SPACE}% each on its side.`;
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
