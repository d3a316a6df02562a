import { useState } from 'react';
import type { Plan } from '../../../shared-lib/run-sheet/plan-model.ts';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { PlanFields } from './PlanFields.tsx';
import { planForm, readPlanForm } from './plan-form.ts';

interface PlanEditorProps {
  readonly plan: Plan;
  readonly save: (plan: Plan) => Promise<void>;
  readonly onClose: () => void;
}

/** One plan; mount it when it is wanted. What was typed stands until it has been saved. */
export function PlanEditor({ plan, save, onClose }: PlanEditorProps) {
  const [form, setForm] = useState(() => planForm(plan, () => crypto.randomUUID()));
  const { run, isBusy, error } = useAction();
  const reading = readPlanForm(form, plan.id);
  const saveIt = async () => {
    if ('missing' in reading || isBusy) return;
    if (await run(() => save(reading.value))) onClose();
  };
  return (
    <Dialog
      title={plan.name}
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button
            look="primary"
            isDisabled={'missing' in reading}
            isPending={isBusy}
            onPress={() => void saveIt()}
          >
            Save this plan
          </Button>
          <Button look="quiet" onPress={onClose}>
            Leave without saving
          </Button>
        </>
      }
    >
      <div className="sheet-fields">
        <PlanFields form={form} onChange={(part) => setForm((before) => ({ ...before, ...part }))} />
      </div>
      <p className="sheet-missing" role="status">
        {'missing' in reading ? `Still needed: ${reading.missing.join(', ')}.` : ''}
      </p>
      <FailureNotice error={error} />
    </Dialog>
  );
}
