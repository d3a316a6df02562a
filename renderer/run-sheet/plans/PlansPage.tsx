import { useState } from 'react';
import type { Plan } from '../../../shared-lib/run-sheet/plan-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { PreparationPage } from '../PreparationPage.tsx';
import { PlanEditor } from './PlanEditor.tsx';
import { planWords } from './plan-sentences.ts';

/** Plans: what every setup goes through. The ready-made ones are copied to be changed. */
export function PlansPage() {
  const connection = useConnection();
  const { result, error } = useRequest('listPlans', {}, 'runSheetsChanged');
  const [editing, setEditing] = useState<Plan | null>(null);
  const [removed, setRemoved] = useState<Plan | null>(null);
  const action = useAction();
  const save = (plan: Plan) => connection.request('savePlan', { plan });
  const remove = (plan: Plan) =>
    void action.run(async () => {
      await connection.request('deletePlan', { planId: plan.id });
      setRemoved(plan);
    });
  const takeBack = (plan: Plan) =>
    void action.run(async () => {
      await save(plan);
      setRemoved(null);
    });

  return (
    <PreparationPage title="Plans">
      <FailureNotice error={error ?? action.error} />
      <div role="status" className="sheet-status">
        {removed === null ? null : (
          <Notice
            kind="information"
            actions={
              <Button isPending={action.isBusy} onPress={() => takeBack(removed)}>
                Undo
              </Button>
            }
          >
            “{removed.name}” is off the list. Run sheets made with it keep their own copy.
          </Notice>
        )}
      </div>
      {result === null ? null : (
        <Panel
          title="Plans"
          lead="What every setup goes through: which pulls, how long, with which rest, and how many rounds."
        >
          <ul className="sheet-list" aria-label="Plans">
            {result.plans.map((plan) => {
              const isOwn = result.ownPlanIds.includes(plan.id);
              return (
                <li key={plan.id} className="sheet-row">
                  <div className="sheet-row-text">
                    <strong>{plan.name}</strong>
                    <span className="sheet-soft">
                      {planWords(plan)}
                      {isOwn ? '' : ' (ready-made)'}
                    </span>
                  </div>
                  <ActionRow>
                    {isOwn ? (
                      <>
                        <Button
                          look="quiet"
                          aria-label={`Change ${plan.name}`}
                          onPress={() => setEditing(plan)}
                        >
                          Change
                        </Button>
                        <Button look="quiet" aria-label={`Remove ${plan.name}`} onPress={() => remove(plan)}>
                          Remove
                        </Button>
                      </>
                    ) : null}
                    <Button
                      look="quiet"
                      aria-label={`Copy ${plan.name}`}
                      onPress={() =>
                        setEditing({ ...plan, id: crypto.randomUUID(), name: `${plan.name}, own` })
                      }
                    >
                      Make an own one like it
                    </Button>
                  </ActionRow>
                </li>
              );
            })}
          </ul>
        </Panel>
      )}
      {editing === null ? null : (
        <PlanEditor
          key={editing.id}
          plan={editing}
          save={async (plan) => {
            await save(plan);
          }}
          onClose={() => setEditing(null)}
        />
      )}
    </PreparationPage>
  );
}
