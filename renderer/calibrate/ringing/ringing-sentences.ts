import type { Ringing } from '../../../shared-lib/calibration/daily-check-model.ts';
import { formatNumber, formatRate, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';

export interface RingingRow {
  readonly name: string;
  readonly value: string;
  readonly note: string;
}

/** The figures of a tap, each with what it means. */
export function ringingRows({
  frequencyHz,
  dampingRatio,
  decayS,
  sampleRateHz,
}: Pick<Ringing, 'frequencyHz' | 'dampingRatio' | 'decayS' | 'sampleRateHz'>): RingingRow[] {
  return [
    {
      name: 'Rings at',
      value: frequencyHz === null ? 'not found' : hertz(frequencyHz),
      note: 'The rig’s own frequency with what is mounted on it now; a heavier tool or longer bar rings lower.',
    },
    {
      name: 'Damping ratio',
      value: dampingRatio === null ? 'not found' : formatNumber(dampingRatio, 3),
      note: '1 would not ring at all.',
    },
    {
      name: 'Dies away in',
      value: decayS === null ? 'not found' : milliseconds(decayS),
      note: 'To 37 % of its height.',
    },
    {
      name: 'Sample rate',
      value: formatRate(sampleRateHz),
      note:
        frequencyHz === null
          ? 'Of this recording.'
          : `${formatNumber(sampleRateHz / frequencyHz, 1)} samples to one swing.`,
    },
  ];
}

function hertz(value: number): string {
  return `${formatNumber(value, value < 100 ? 1 : 0)}${THIN_SPACE}Hz`;
}

function milliseconds(valueS: number): string {
  const ms = valueS * 1000;
  return `${formatNumber(ms, ms < 100 ? 1 : 0)}${THIN_SPACE}ms`;
}

/** So many times its decay, the ringing is gone from the picture; and the least that is shown (ours). */
const SHOWN_DECAYS = 20;
const LEAST_SHOWN_S = 0.1;

/** Until when the answer is drawn: as long as it rings, all of it where no decay was found. */
export function shownUntilS({ decayS, timeS }: Pick<Ringing, 'decayS' | 'timeS'>): number {
  const endS = timeS.at(-1) ?? 0;
  return decayS === null ? endS : Math.min(endS, Math.max(SHOWN_DECAYS * decayS, LEAST_SHOWN_S));
}

/** The picture in words. */
export function ringingSummary(
  { frequencyHz, dampingRatio, decayS, torqueNm, timeS }: Ringing,
  formatTorque: (torqueNm: number) => string,
): string {
  const highest = torqueNm.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  const untilS = shownUntilS({ decayS, timeS });
  const seen = `The answer of the rig to one tap, the first ${milliseconds(untilS)} of it, up to ${formatTorque(highest)} from rest.`;
  if (frequencyHz === null) return `${seen} No frequency stands out.`;
  const damping = dampingRatio === null ? '' : `, damping ratio ${formatNumber(dampingRatio, 3)}`;
  return `${seen} It rings at ${hertz(frequencyHz)}${damping}.`;
}
