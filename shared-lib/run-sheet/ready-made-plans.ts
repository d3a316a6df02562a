import type { Plan, PlanStep } from './plan-model.ts';

const tighten = (direction: PlanStep['direction'], plannedS: number): PlanStep => ({
  kind: 'tighten',
  direction,
  plannedS,
  preloadNm: null,
  repeats: 1,
  restS: 90,
});

const forward5 = tighten('forward', 5);
const reverse10 = tighten('reverse', 10);
const reverse15 = tighten('reverse', 15);

const readyMade = (id: string, name: string, steps: PlanStep[]): Plan => ({
  id,
  name,
  steps,
  conditioningPulls: 1,
  rounds: 3,
  roundsToPublish: 5,
  reference: { atStart: 3, perRound: 1, atEnd: 3 },
  asks: ['packVolts', 'fastener', 'airPressure'],
});

/** Named by what they do. Nobody changes them; a copy under another id can be changed. */
export const readyMadePlans: readonly Plan[] = [
  readyMade('ready-forward-5', 'Forward 5 s', [forward5]),
  readyMade('ready-reverse-10', 'Reverse 10 s', [reverse10]),
  readyMade('ready-reverse-15', 'Reverse 15 s', [reverse15]),
  readyMade('ready-full-set', 'Full set', [forward5, reverse10, reverse15]),
];
