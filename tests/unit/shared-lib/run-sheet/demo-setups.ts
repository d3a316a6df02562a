import type { Plan, PlanStep } from '../../../../shared-lib/run-sheet/plan-model.ts';
import type { SetupAsTested } from '../../../../shared-lib/run-sheet/setup-model.ts';

/** Demo tools as they are tested, and plans from few words. */
export function demoSetup(toolName: string, change: Partial<SetupAsTested> = {}): SetupAsTested {
  return {
    setupId: `setup of ${toolName}`,
    toolId: `tool ${toolName}`,
    toolName,
    supply: 'battery',
    declaredVibrationMps2: null,
    declaredNoiseDbA: null,
    packId: null,
    packName: null,
    packCapacityAh: null,
    setting: '',
    socket: null,
    ...change,
  };
}

export const hollin = demoSetup('Hollin H5', { packId: 'pack-2', packName: 'pack 2' });
export const tarnwick = demoSetup('Tarnwick T6');
export const brindlow = demoSetup('Brindlow B4', { supply: 'air' });
export const corvane = demoSetup('Corvane C8');

export function planStep(change: Partial<PlanStep> = {}): PlanStep {
  return {
    kind: 'tighten',
    direction: 'forward',
    plannedS: 5,
    preloadNm: null,
    repeats: 1,
    restS: 90,
    ...change,
  };
}

export function demoPlan(change: Partial<Plan> = {}): Plan {
  return {
    id: 'demo-plan',
    name: 'Demo plan',
    steps: [planStep()],
    conditioningPulls: 0,
    rounds: 3,
    roundsToPublish: 2,
    reference: null,
    asks: [],
    ...change,
  };
}
