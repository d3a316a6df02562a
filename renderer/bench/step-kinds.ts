import type { Kind, Step } from '../../shared-lib/trial/step-model.ts';

const short = [5, 10, 15] as const;

/** The times at hand for a kind; any other can be typed. Ours: a charge fades over minutes. */
export const usualTimesS: Readonly<Record<Kind, readonly number[]>> = {
  tighten: short,
  breakaway: short,
  stall: [2, 5, 10],
  endurance: [60, 300, 600],
};

/** The same step as another kind: its time where that is usual for the kind, else the kind's first; no preload of another kind. */
export function withKind({ preloadNm, ...step }: Step, kind: Kind): Step {
  const usual = usualTimesS[kind];
  const plannedS = usual.includes(step.plannedS) ? step.plannedS : (usual[0] ?? step.plannedS);
  return { ...step, kind, plannedS, ...(kind === 'breakaway' ? { preloadNm: preloadNm ?? null } : {}) };
}
