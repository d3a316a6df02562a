import type { CalibrationVersion } from '../../calibration/calibration-model.ts';
import { formatNumber, formatQuantity, formatRate, THIN_SPACE } from '../../format-quantity.ts';
import type { TrialRecord } from '../trial-model.ts';
import { versionUncertaintyWords } from '../../calibration/words/calibration-sentences.ts';
import { clockSentence } from '../../signal/clock-sentence.ts';
import type { TorqueDisplay } from '../../torque-display.ts';

export interface ConditionRow {
  readonly name: string;
  readonly value: string;
}

/** The bench as it was when the trial began; what has changed since does not show here. */
export function conditionRows(
  record: TrialRecord,
  calibration: CalibrationVersion | null,
  torque: TorqueDisplay,
): ConditionRow[] {
  const { conditions, sampleRateHz, rateResidualUs, slotCount, lostSlots, zeroAfterCounts } = record;
  const { transducer, profile } = conditions;
  const limit = (torqueNm: number | null) => (torqueNm === null ? 'not given' : torque.format(torqueNm));
  const fitted =
    sampleRateHz === null
      ? 'not fitted'
      : `${formatRate(sampleRateHz, 2)}${rateResidualUs === null ? '' : `, residual ${formatNumber(rateResidualUs, 0)}${THIN_SPACE}µs`}`;
  return [
    ...(conditions.amplifierName === null ? [] : [{ name: 'Amplifier', value: conditions.amplifierName }]),
    { name: 'Transducer', value: `${transducer.name}, capacity ${limit(transducer.capacityNm)}` },
    {
      name: 'Rig',
      value: `limit ${limit(transducer.rigLimitNm)}, ${transducer.rigUnloading === 'holds' ? 'holds the torque' : 'releases by itself'}`,
    },
    ...(transducer.rigRevision === '' ? [] : [{ name: 'Rig revision', value: transducer.rigRevision }]),
    {
      name: 'Sense',
      value:
        transducer.senseSign === 1
          ? 'a clockwise push reads positive'
          : 'a clockwise push reads negative and was turned round',
    },
    { name: 'Calibration', value: calibration?.label ?? conditions.calibrationId },
    ...(calibration === null
      ? []
      : [{ name: 'Its uncertainty', value: versionUncertaintyWords(calibration) }]),
    { name: 'Line form', value: `${profile.name}, for instance ${profile.example}` },
    { name: 'Converter', value: `${profile.converterBits} bits` },
    { name: 'Nominal rate', value: formatRate(profile.nominalRateHz) },
    { name: 'Fitted rate', value: fitted },
    { name: 'Time of a sample came from', value: clockSentence(conditions.clockSource) },
    { name: 'Samples', value: `${formatNumber(slotCount, 0)}, of which ${formatNumber(lostSlots, 0)} lost` },
    { name: 'Zero before', value: counts(conditions.zeroCounts) },
    { name: 'Zero after', value: zeroAfterCounts === null ? 'not measured' : counts(zeroAfterCounts) },
    {
      name: 'Noise of the measuring curve at rest',
      value: formatQuantity(conditions.noiseNm, torque.unit, 3),
    },
    { name: 'Onset level', value: formatQuantity(conditions.onsetLevelNm, torque.unit, 2) },
    {
      name: 'Recorded with',
      value: `Proofarm ${conditions.softwareVersion}, definitions ${conditions.definitionVersion}`,
    },
  ];
}

function counts(value: number): string {
  return `${formatNumber(value, 1)}${THIN_SPACE}counts`;
}
