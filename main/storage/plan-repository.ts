import { AppError } from '../../shared-lib/app-error.ts';
import { type Plan, planSchema } from '../../shared-lib/run-sheet/plan-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';
import { foldForSearch } from './search-folding.ts';

/** The user's own plans, by name. */
export function listOwnPlans(database: ReadableDatabase): Plan[] {
  return reading(() =>
    database
      .prepare<[], { id: string; plan_json: string }>(
        'SELECT id, plan_json FROM plan ORDER BY name_folded, id',
      )
      .all()
      .map(({ id, plan_json }) => fromJsonColumn(planSchema, plan_json, `plan ${id}`)),
  );
}

/**
 * Stores a new one, or the new form of one; run sheets keep the plan that they were made with.
 *
 * Errors: AppError 'plan-invalid' where another one has the same name.
 */
export function saveOwnPlan(database: WritableDatabase, plan: Plan): void {
  writing(database, () => {
    const folded = foldForSearch(plan.name);
    const twin = database
      .prepare<[string, string]>('SELECT 1 FROM plan WHERE name_folded = ? AND id <> ?')
      .get(folded, plan.id);
    if (twin !== undefined) throw planNameTaken(plan);
    database
      .prepare(
        `INSERT INTO plan (id, name_folded, plan_json) VALUES (?, ?, ?)
         ON CONFLICT (id) DO UPDATE SET name_folded = excluded.name_folded, plan_json = excluded.plan_json`,
      )
      .run(plan.id, folded, toJsonColumn(planSchema, plan));
  });
}

/** Errors: AppError 'plan-not-found'. */
export function deleteOwnPlan(database: WritableDatabase, id: string): void {
  writing(database, () => {
    const { changes } = database.prepare('DELETE FROM plan WHERE id = ?').run(id);
    if (changes > 0) return;
    throw new AppError(
      'plan-not-found',
      'There is no such plan of your own. Nothing was changed. Choose one from the list of plans.',
      { planId: id },
    );
  });
}

export function planNameTaken({ id, name }: Pick<Plan, 'id' | 'name'>): AppError {
  return new AppError(
    'plan-invalid',
    `There is a plan "${name}" already. Nothing was stored. Give this one a name of its own.`,
    { planId: id },
  );
}
