import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { checkPlan } from '../../shared-lib/run-sheet/check-draft.ts';
import type { Plan } from '../../shared-lib/run-sheet/plan-model.ts';
import { readyMadePlans } from '../../shared-lib/run-sheet/ready-made-plans.ts';
import type { RequestHandlers } from '../services.ts';
import { deleteOwnPlan, listOwnPlans, planNameTaken, saveOwnPlan } from '../storage/plan-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { foldForSearch } from '../storage/search-folding.ts';
import type { RunSheetTools } from './run-sheet-tools.ts';

/** The ready-made plans, and those of the user. */
export function createPlanPart({ database, emit }: Pick<RunSheetTools, 'database' | 'emit'>): {
  readonly handlers: Pick<RequestHandlers, 'listPlans' | 'savePlan' | 'deletePlan'>;
} {
  const listPlans = (): RequestResult<'listPlans'> => {
    const own = listOwnPlans(database);
    return { plans: [...readyMadePlans, ...own], ownPlanIds: own.map(({ id }) => id) };
  };

  const change = (work: () => void) =>
    retryWhenLocked(() => {
      work();
      emit('runSheetsChanged', {});
      return listPlans();
    });

  return {
    handlers: {
      listPlans,
      savePlan: ({ plan }) =>
        change(() => {
          refuseImpossible(plan);
          saveOwnPlan(database, plan);
        }),
      deletePlan: ({ planId }) =>
        change(() => {
          if (isReadyMade(planId)) {
            throw new AppError('invalid-state', 'A ready-made plan cannot be deleted. Nothing was changed.', {
              planId,
            });
          }
          deleteOwnPlan(database, planId);
        }),
    },
  };
}

/** Errors: AppError 'plan-invalid' with every reason. */
function refuseImpossible(plan: Plan): void {
  if (isReadyMade(plan.id)) {
    throw new AppError(
      'plan-invalid',
      'A ready-made plan stays as it is. Nothing was changed. Save it as a plan of your own.',
      { planId: plan.id },
    );
  }
  const folded = foldForSearch(plan.name);
  if (readyMadePlans.some(({ name }) => foldForSearch(name) === folded)) throw planNameTaken(plan);
  const reasons = checkPlan(plan).flatMap(({ severity, sentence }) =>
    severity === 'stop' ? [sentence] : [],
  );
  if (reasons.length === 0) return;
  throw new AppError('plan-invalid', `The plan was not saved. ${reasons.join(' ')}`, { planId: plan.id });
}

function isReadyMade(planId: string): boolean {
  return readyMadePlans.some(({ id }) => id === planId);
}
