import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { Plan, PlanStep } from '../../../shared-lib/run-sheet/plan-model.ts';
import type { Ask } from '../../../shared-lib/run-sheet/setup-model.ts';
import type { Kind } from '../../../shared-lib/trial/step-model.ts';

export const kindWords: Readonly<Record<Kind, string>> = {
  tighten: 'tighten',
  breakaway: 'break away',
  stall: 'stall',
  endurance: 'endurance',
};

export const askWords: Readonly<Record<Ask, string>> = {
  packVolts: 'Volts of the rested pack',
  packTemperature: 'Temperature of the pack',
  toolTemperature: 'Temperature of the tool',
  fastener: 'Fastener and its pulls since new',
  lubricant: 'Lubricant',
  airPressure: 'Inlet pressure and hose',
};

/** "forward 5 s" or "2 × break away reverse 10 s" */
export function stepWords({ kind, direction, plannedS, repeats }: PlanStep): string {
  const decimals = Number.isInteger(plannedS) ? 0 : 1;
  const often = repeats === 1 ? '' : `${repeats}${THIN_SPACE}× `;
  const what = kind === 'tighten' ? '' : `${kindWords[kind]} `;
  return `${often}${what}${direction} ${formatNumber(plannedS, decimals)}${THIN_SPACE}s`;
}

export function planWords(plan: Plan): string {
  const { rounds, conditioningPulls, reference } = plan;
  const parts = [plan.steps.map(stepWords).join(', '), rounds === 1 ? '1 round' : `${rounds} rounds`];
  if (conditioningPulls > 0) {
    parts.push(conditioningPulls === 1 ? '1 conditioning pull' : `${conditioningPulls} conditioning pulls`);
  }
  if (reference !== null) parts.push('with a reference tool');
  return parts.join('; ');
}
