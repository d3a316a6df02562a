import type { TrialFigures } from '../trial/trial-model.ts';
import type { FiguresColumn } from './figures-columns.ts';

/** How far the figures can be relied on. */
export const judgementColumns: readonly FiguresColumn[] = [
  {
    name: 'quality',
    type: 'string',
    description: 'good, look or notUsable.',
    read: (_record, figures) => figures?.quality.verdict ?? null,
  },
  {
    name: 'quality_reasons',
    type: 'string',
    description: 'Why it is not good, in sentences.',
    read: (_record, figures) => figures?.quality.reasons.map(({ sentence }) => sentence).join(' ') ?? null,
  },
  {
    name: 'not_measured',
    type: 'string',
    description: 'What the curve does not carry, and why.',
    read: (_record, figures) => (figures === null ? null : refusals(figures)),
  },
];

const refusable = [
  ['sustainedTorqueNm', 'sustained_torque_nm'],
  ['finalTorqueNm', 'final_torque_nm'],
  ['timeTo90PercentS', 'time_to_90_percent_s'],
  ['highestReadingNm', 'highest_reading_nm'],
  ['stillClimbingPercentPerS', 'still_climbing_percent_per_s'],
  ['impulseNms', 'impulse_nms'],
  ['riseNmPerS', 'rise_nm_per_s'],
  ['riseModel', 'rise_model'],
  ['blowRateHz', 'blow_rate_hz'],
  ['stallTorqueNm', 'stall_torque_nm'],
  ['breakaway', 'breakaway'],
  ['endurance', 'endurance'],
] as const satisfies readonly (readonly [keyof TrialFigures, string])[];

/** One reason is told once, with all that it refuses before it. */
function refusals(figures: TrialFigures): string {
  const namesOf = new Map<string, string[]>();
  const refuse = (name: string, measure: object | null): void => {
    if (measure === null || !('refused' in measure) || typeof measure.refused !== 'string') return;
    namesOf.set(measure.refused, [...(namesOf.get(measure.refused) ?? []), name]);
  };
  for (const [key, name] of refusable) refuse(name, figures[key]);
  for (const { atS, torqueNm } of figures.torqueAt) refuse(`torque_at_${atS}_s_nm`, torqueNm);
  return [...namesOf].map(([reason, names]) => `${names.join(', ')}: ${reason}`).join(' ');
}
