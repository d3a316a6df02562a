import { describeComparedStep } from '../comparison/measure-words.ts';
import { sentenceCase } from '../comparison/comparison-words.ts';
import { formatQuantity, formatTorqueInBothUnits, THIN_SPACE } from '../format-quantity.ts';
import { describeSetup } from '../run-sheet/describe-entry.ts';
import type { TrialRecord } from '../trial/trial-model.ts';
import { placeWords } from '../trial/words/pull-words.ts';
import type { CurveChart } from './chart-model.ts';
import { type Basis, basisNotes } from './chart-notes.ts';
import { curveColorIndex } from './tool-colour.ts';

/** A curve in the direction of its step: positive where the tool pulls as it was asked to. */
export interface DrawnCurve {
  readonly trialId: string;
  readonly timeS: Float64Array;
  readonly torqueNm: Float64Array;
}

/** For the eye; said wherever curves are. */
export const CURVES_NOTE = `Curves are low-passed at 20${THIN_SPACE}Hz for the eye; all figures come from the measuring curve.`;

/** One trial: its curve, and the torque that it held. */
export function chartOfTrial(record: TrialRecord, curve: DrawnCurve, basis: Basis): CurveChart {
  const { summary } = record;
  const { step, setup, place, sustainedTorqueNm: heldNm } = summary;
  const label = setup === null ? step.toolName : describeSetup(setup);
  const where = place === null ? '' : placeWords(place);
  const held =
    heldNm === null
      ? null
      : `held ${formatTorqueInBothUnits(heldNm, heldNm < 1000 ? 1 : 0)} for ${formatQuantity(0.25, 's', 2)}`;
  const fate = summary.isVoided
    ? ['Voided: it does not count.']
    : summary.state === 'interrupted'
      ? ['Interrupted: it does not count.']
      : [];
  const look = summary.qualityVerdict === 'look' || summary.qualityVerdict === 'notUsable';
  return {
    kind: 'curves',
    title: label,
    subtitle: [
      sentenceCase(describeComparedStep(step)),
      ...(where === '' ? [] : [where]),
      ...(held === null ? [] : [held]),
    ].join(', '),
    notes: [
      ...fate,
      ...(look ? [`Quality: ${summary.qualityVerdict === 'look' ? 'look at it' : 'not usable'}.`] : []),
      ...basisNotes(basis, { cautions: [CURVES_NOTE] }),
    ],
    curves: [{ ...curve, label: step.toolName, colour: curveColorIndex(step.toolName) }],
    plannedS: step.plannedS,
    levels: heldNm === null ? [] : [{ torqueNm: heldNm, label: `held for ${formatQuantity(0.25, 's', 2)}` }],
    checkpoints: [],
  };
}
