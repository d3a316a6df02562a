import type { Plan } from '../../shared-lib/run-sheet/plan-model.ts';
import type { Order, RunSheetDraft } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { FormReader, type FormReading } from '../ui/form-reader.ts';
import { planReaders } from './plans/plan-form.ts';
import { suggestedName } from './run-sheet-sentences.ts';

export interface DraftForm {
  readonly name: string;
  /** The name was not typed, so it follows the plan. */
  readonly isNameSuggested: boolean;
  readonly plan: Plan;
  readonly rounds: string;
  /** In the order in which they were picked. */
  readonly setupIds: readonly string[];
  readonly referenceSetupId: string | null;
  readonly order: Order;
  readonly seed: number;
}

export function newDraftForm(plan: Plan, day: string, seed: number): DraftForm {
  return {
    name: suggestedName(plan.name, day),
    isNameSuggested: true,
    plan,
    rounds: String(plan.rounds),
    setupIds: [],
    referenceSetupId: null,
    order: 'rounds',
    seed,
  };
}

export function withPlan(form: DraftForm, plan: Plan, day: string): DraftForm {
  return {
    ...form,
    plan,
    rounds: String(plan.rounds),
    name: form.isNameSuggested ? suggestedName(plan.name, day) : form.name,
    referenceSetupId: plan.reference === null ? null : form.referenceSetupId,
  };
}

export function draftOf(form: DraftForm): FormReading<RunSheetDraft> {
  const reader = new FormReader();
  if (form.setupIds.length === 0) reader.missing.push('a setup');
  const rounds = reader.needed('the rounds', form.rounds, planReaders.rounds);
  const name = reader.text('the name', form.name);
  if (reader.missing.length > 0) return { missing: reader.missing };
  return {
    value: {
      name,
      plan: { ...form.plan, rounds },
      setupIds: [...form.setupIds],
      referenceSetupId: form.referenceSetupId,
      order: form.order,
      seed: form.seed,
    },
  };
}
