import type { Plan, PlanStep } from '../../../shared-lib/run-sheet/plan-model.ts';
import type { Ask } from '../../../shared-lib/run-sheet/setup-model.ts';
import type { Direction, Kind } from '../../../shared-lib/trial/step-model.ts';
import { FormReader, type FormReading } from '../../ui/form-reader.ts';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { quantityReader } from '../../ui/read-quantity.ts';
import { wholeNumberReader } from '../../ui/read-whole-number.ts';

/** The ranges of the contract, so that a field says at once what the services would refuse. */
export const planReaders = {
  plannedTime: quantityReader({ kind: 'duration', unit: 's', min: 0.5, max: 3600 }),
  rest: quantityReader({ kind: 'duration', unit: 's', min: 0, max: 3600 }),
  preload: quantityReader({ kind: 'torque', unit: 'Nm', min: 0, max: 1e6, isMinExcluded: true }),
  repeats: wholeNumberReader(1, 20, null),
  rounds: wholeNumberReader(1, 30, null),
  conditioning: wholeNumberReader(0, 5, null),
  referenceAtEnds: wholeNumberReader(0, 10, null),
  referencePerRound: wholeNumberReader(0, 5, null),
} as const;

/** `key` tells the rows of the form apart while they are moved and removed. */
export interface StepForm {
  readonly key: string;
  readonly kind: Kind;
  readonly direction: Direction;
  readonly plannedTime: string;
  readonly preload: string;
  readonly repeats: string;
  readonly rest: string;
}

export interface PlanForm {
  readonly name: string;
  readonly steps: readonly StepForm[];
  readonly rounds: string;
  readonly roundsToPublish: string;
  readonly conditioning: string;
  readonly hasReference: boolean;
  readonly referenceAtStart: string;
  readonly referencePerRound: string;
  readonly referenceAtEnd: string;
  readonly asks: readonly Ask[];
}

export function emptyStep(key: string): StepForm {
  return {
    key,
    kind: 'tighten',
    direction: 'forward',
    plannedTime: '5 s',
    preload: '',
    repeats: '1',
    rest: '90 s',
  };
}

export function planForm(plan: Plan, newKey: () => string): PlanForm {
  const reference = plan.reference ?? { atStart: 3, perRound: 1, atEnd: 3 };
  return {
    name: plan.name,
    steps: plan.steps.map((step) => ({
      key: newKey(),
      kind: step.kind,
      direction: step.direction,
      plannedTime: formatSignificant(step.plannedS, 's'),
      preload: step.preloadNm === null ? '' : formatSignificant(step.preloadNm, 'Nm'),
      repeats: String(step.repeats),
      rest: formatSignificant(step.restS, 's'),
    })),
    rounds: String(plan.rounds),
    roundsToPublish: String(plan.roundsToPublish),
    conditioning: String(plan.conditioningPulls),
    hasReference: plan.reference !== null,
    referenceAtStart: String(reference.atStart),
    referencePerRound: String(reference.perRound),
    referenceAtEnd: String(reference.atEnd),
    asks: plan.asks,
  };
}

export function readPlanForm(form: PlanForm, id: string): FormReading<Plan> {
  const reader = new FormReader();
  const name = reader.text('the name', form.name);
  const steps = form.steps.map((step, index) => readStep(step, index + 1, reader));
  if (steps.length === 0) reader.missing.push('a step');
  const plan: Plan = {
    id,
    name,
    steps,
    rounds: reader.needed('the rounds', form.rounds, planReaders.rounds),
    roundsToPublish: reader.needed('the rounds to publish', form.roundsToPublish, planReaders.rounds),
    conditioningPulls: reader.needed('the conditioning pulls', form.conditioning, planReaders.conditioning),
    reference: form.hasReference
      ? {
          atStart: reader.needed('pulls at the start', form.referenceAtStart, planReaders.referenceAtEnds),
          perRound: reader.needed('pulls per round', form.referencePerRound, planReaders.referencePerRound),
          atEnd: reader.needed('pulls at the end', form.referenceAtEnd, planReaders.referenceAtEnds),
        }
      : null,
    asks: [...form.asks],
  };
  return reader.missing.length > 0 ? { missing: reader.missing } : { value: plan };
}

function readStep(step: StepForm, number: number, reader: FormReader): PlanStep {
  const ofStep = `of step ${number}`;
  return {
    kind: step.kind,
    direction: step.direction,
    plannedS: reader.needed(`the time ${ofStep}`, step.plannedTime, planReaders.plannedTime),
    preloadNm:
      step.kind === 'breakaway'
        ? reader.needed(`the preload ${ofStep}`, step.preload, planReaders.preload)
        : null,
    repeats: reader.needed(`the repeats ${ofStep}`, step.repeats, planReaders.repeats),
    restS: reader.needed(`the rest ${ofStep}`, step.rest, planReaders.rest),
  };
}
