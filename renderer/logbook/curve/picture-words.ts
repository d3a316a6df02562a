import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { STATIC_CALIBRATION } from '../../bench/bench-sentences.ts';
import type { CurveColors } from '../../live-curve/curve-style.ts';
import { formatTrialTime } from '../../ui/date-time.ts';
import { setupWords, stepWords } from '../../../shared-lib/trial/words/pull-words.ts';
import type { PictureWords } from './chart-png.ts';
import type { CurveChoice } from './paint-curve.ts';

/** Title, legend and footer of a saved picture, with the marks that must not get lost on the way. */
export function pictureWords(
  { summary }: Pick<TrialRecord, 'summary'>,
  choice: CurveChoice,
  readBy: string,
  colors: CurveColors,
  colorIndex: number,
): PictureWords {
  const { step, setup, startedAt, isSimulated, isVoided, state } = summary;
  const marks = [
    ...(isSimulated ? ['simulated'] : []),
    ...(isVoided ? ['voided'] : state === 'kept' ? [] : ['not kept']),
    ...(summary.suspicion?.decision === null ? ['suspect by a failed check'] : []),
  ];
  return {
    title: [step.toolName, setupWords(setup)].filter((part) => part !== '').join(', '),
    subtitle: [stepWords(step), formatTrialTime(startedAt), ...marks].join(' · '),
    legend: [
      ...(choice.measuring
        ? [{ label: 'Measuring curve', color: colors.curves[colorIndex] ?? colors.ink }]
        : []),
      ...(choice.raw ? [{ label: 'Raw samples, least to greatest', color: colors.lineStrong }] : []),
      ...(choice.display ? [{ label: 'Display curve, 20 Hz low-pass', color: colors.ink }] : []),
    ],
    footer: `${readBy} ${STATIC_CALIBRATION}`,
  };
}
