import { formatQuantity } from '../format-quantity.ts';
import type { Plan } from './plan-model.ts';
import type { RunSheetEntry } from './run-sheet-model.ts';
import type { SetupAsTested } from './setup-model.ts';

type NamedParts = Pick<SetupAsTested, 'toolName' | 'packName' | 'setting' | 'socket'>;

/** "Hollin H5, pack 2": the tool, then whatever else there is of pack, setting and socket. */
export function describeSetup(setup: NamedParts): string {
  return [setup.toolName, setup.packName, setup.setting, setup.socket?.name]
    .filter((part) => part !== null && part !== undefined && part !== '')
    .join(', ');
}

/**
 * What is to be pulled, for the sentence on the Bench: "Hollin H5, pack 2, forward, run 2 of 3".
 *
 * The steps of the plan, where they are given, bring the planned time in where two of them would read alike, and say of
 * how many repeats this is one.
 */
export function describeEntry(
  entry: Pick<RunSheetEntry, 'setup' | 'step' | 'role' | 'round' | 'repeat'>,
  plan: Pick<Plan, 'rounds'> & Partial<Pick<Plan, 'steps'>>,
): string {
  return [describeSetup(entry.setup), describeStep(entry.step, plan.steps ?? []), placeInWords(entry, plan)]
    .filter((part) => part !== '')
    .join(', ');
}

function describeStep(step: RunSheetEntry['step'], steps: Plan['steps']): string {
  const words = step.kind === 'tighten' ? step.direction : `${step.kind} ${step.direction}`;
  const isAmbiguous = steps.some(
    ({ kind, direction, plannedS }) =>
      kind === step.kind && direction === step.direction && plannedS !== step.plannedS,
  );
  if (!isAmbiguous) return words;
  return `${words} ${formatQuantity(step.plannedS, 's', Number.isInteger(step.plannedS) ? 0 : 1)}`;
}

function placeInWords(
  { step, role, round, repeat }: Pick<RunSheetEntry, 'step' | 'role' | 'round' | 'repeat'>,
  plan: Pick<Plan, 'rounds'> & Partial<Pick<Plan, 'steps'>>,
): string {
  switch (role) {
    case 'conditioning':
      return repeat === 1 ? 'conditioning pull' : `conditioning pull ${repeat}`;
    case 'reference':
      if (round === 0) return `reference pull ${repeat}`;
      return repeat === 1 ? `reference pull, round ${round}` : `reference pull ${repeat}, round ${round}`;
    case 'counted': {
      const repeats = (plan.steps ?? [])
        .filter(
          ({ kind, direction, plannedS }) =>
            kind === step.kind && direction === step.direction && plannedS === step.plannedS,
        )
        .reduce((sum, planStep) => sum + planStep.repeats, 0);
      const run = `run ${round} of ${plan.rounds}`;
      if (repeats > 1) return `${run}, repeat ${repeat} of ${repeats}`;
      return repeat > 1 ? `${run}, repeat ${repeat}` : run;
    }
  }
}
