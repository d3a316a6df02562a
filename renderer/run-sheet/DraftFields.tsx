import type { Plan } from '../../shared-lib/run-sheet/plan-model.ts';
import { orderSchema } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { Button } from '../ui/Button.tsx';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { FieldGrid, Panel } from '../ui/Panel.tsx';
import { QuantityField } from '../ui/QuantityField.tsx';
import { SelectField } from '../ui/SelectField.tsx';
import { TextField } from '../ui/TextField.tsx';
import { Checkbox } from '../ui/Toggles.tsx';
import type { DraftForm } from './draft-form.ts';
import { setupName, setupWords } from './items/item-sentences.ts';
import type { BenchItems } from './items/use-bench-items.ts';
import { planReaders } from './plans/plan-form.ts';
import { planWords } from './plans/plan-sentences.ts';
import { orderLabels } from './run-sheet-sentences.ts';

const orders = orderSchema.def.values.map((order) => ({ key: order, label: orderLabels[order] }));

const NO_REFERENCE = 'none';

interface DraftFieldsProps {
  readonly form: DraftForm;
  readonly items: BenchItems;
  readonly plans: readonly Plan[];
  readonly onChange: (part: Partial<DraftForm>) => void;
  readonly onPlan: (plan: Plan) => void;
  readonly onDrawSeed: () => void;
}

export function DraftFields({ form, items, plans, onChange, onPlan, onDrawSeed }: DraftFieldsProps) {
  // One that was put away since it was picked has to be taken out, which takes its box.
  const setups = items.setups.filter(({ id, isArchived }) => !isArchived || form.setupIds.includes(id));
  const toggle = (setupId: string, isPicked: boolean): void => {
    const others = form.setupIds.filter((id) => id !== setupId);
    onChange({ setupIds: isPicked ? [...others, setupId] : others });
  };
  return (
    <>
      <Panel
        title="Setups"
        lead="What is compared. Picked in the order in which they are listed on the sheet."
      >
        <fieldset className="sheet-checks">
          <legend className="visually-hidden">Setups</legend>
          {setups.map((setup) => {
            const place = form.setupIds.indexOf(setup.id);
            return (
              <Checkbox
                key={setup.id}
                isSelected={place >= 0}
                onChange={(isPicked) => toggle(setup.id, isPicked)}
              >
                {setupName(setup, items)}
                <span className="sheet-soft">
                  {' '}
                  {[
                    setupWords(setup),
                    setup.isArchived ? 'put away' : '',
                    place < 0 ? '' : `no. ${place + 1}`,
                  ]
                    .filter((part) => part !== '')
                    .join('; ')}
                </span>
              </Checkbox>
            );
          })}
        </fieldset>
      </Panel>
      <Panel title="Plan and order">
        <FieldGrid>
          <SelectField
            label="Plan"
            options={plans.map((plan) => ({ key: plan.id, label: plan.name, note: planWords(plan) }))}
            selected={form.plan.id}
            onSelect={(planId) => {
              const plan = plans.find(({ id }) => id === planId);
              if (plan !== undefined) onPlan(plan);
            }}
            help={planWords(form.plan)}
          />
          <QuantityField
            label="Rounds"
            typed={form.rounds}
            onTyped={(rounds) => onChange({ rounds })}
            parse={planReaders.rounds}
            isRequired
          />
          {form.plan.reference === null ? null : (
            <SelectField
              label="Reference tool"
              options={[
                { key: NO_REFERENCE, label: 'None' },
                ...setups.map((setup) => ({ key: setup.id, label: setupName(setup, items) })),
              ]}
              selected={form.referenceSetupId ?? NO_REFERENCE}
              onSelect={(key) => onChange({ referenceSetupId: key === NO_REFERENCE ? null : key })}
              help="Pulled at the start, in each round and at the end; its drift is shown"
            />
          )}
          <TextField
            label="Name"
            value={form.name}
            onChange={(name) => onChange({ name, isNameSuggested: false })}
            maxLength={80}
            isRequired
          />
        </FieldGrid>
        <ChoiceField
          label="Order"
          choices={orders}
          selected={form.order}
          onSelect={(order) => onChange({ order })}
        />
        {form.order === 'rounds' ? (
          <div className="sheet-seed">
            <span className="sheet-soft">
              Drawn with seed {form.seed}: the same seed gives the same order again.
            </span>
            <Button look="quiet" onPress={onDrawSeed}>
              Draw another order
            </Button>
          </div>
        ) : null}
      </Panel>
    </>
  );
}
