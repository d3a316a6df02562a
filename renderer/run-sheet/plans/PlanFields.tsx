import { askSchema } from '../../../shared-lib/run-sheet/setup-model.ts';
import { Button } from '../../ui/Button.tsx';
import { ActionRow, FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { emptyStep, type PlanForm, planReaders } from './plan-form.ts';
import { askWords } from './plan-sentences.ts';
import { StepFields } from './StepFields.tsx';

const asks = askSchema.def.values;
const MOST_STEPS = 12;

interface PlanFieldsProps {
  readonly form: PlanForm;
  readonly onChange: (part: Partial<PlanForm>) => void;
}

export function PlanFields({ form, onChange }: PlanFieldsProps) {
  const { steps } = form;
  return (
    <>
      <FieldGrid>
        <TextField
          label="Name"
          value={form.name}
          onChange={(name) => onChange({ name })}
          maxLength={80}
          isRequired
          autoFocus
        />
        <QuantityField
          label="Rounds"
          typed={form.rounds}
          onTyped={(rounds) => onChange({ rounds })}
          parse={planReaders.rounds}
          help="Every setup once through all steps is one round"
          isRequired
        />
        <QuantityField
          label="Rounds to publish"
          typed={form.roundsToPublish}
          onTyped={(roundsToPublish) => onChange({ roundsToPublish })}
          parse={planReaders.rounds}
          help="Fewer are shown as provisional"
          isRequired
        />
        <QuantityField
          label="Conditioning pulls"
          typed={form.conditioning}
          onTyped={(conditioning) => onChange({ conditioning })}
          parse={planReaders.conditioning}
          help="Before a setup’s first counted one; never counted, always declared"
          isRequired
        />
      </FieldGrid>
      {steps.map((step, index) => (
        <StepFields
          key={step.key}
          number={index + 1}
          step={step}
          onChange={(part) =>
            onChange({ steps: steps.map((other) => (other === step ? { ...step, ...part } : other)) })
          }
          onRemove={
            steps.length === 1 ? null : () => onChange({ steps: steps.filter((other) => other !== step) })
          }
        />
      ))}
      <ActionRow>
        <Button
          isDisabled={steps.length >= MOST_STEPS}
          onPress={() => onChange({ steps: [...steps, emptyStep(crypto.randomUUID())] })}
        >
          Add a step
        </Button>
      </ActionRow>
      <Checkbox isSelected={form.hasReference} onChange={(hasReference) => onChange({ hasReference })}>
        Pull a reference tool in between, so that a drift of the day shows
      </Checkbox>
      {form.hasReference ? (
        <FieldGrid>
          <QuantityField
            label="Pulls at the start"
            typed={form.referenceAtStart}
            onTyped={(referenceAtStart) => onChange({ referenceAtStart })}
            parse={planReaders.referenceAtEnds}
            isRequired
          />
          <QuantityField
            label="Pulls per round"
            typed={form.referencePerRound}
            onTyped={(referencePerRound) => onChange({ referencePerRound })}
            parse={planReaders.referencePerRound}
            isRequired
          />
          <QuantityField
            label="Pulls at the end"
            typed={form.referenceAtEnd}
            onTyped={(referenceAtEnd) => onChange({ referenceAtEnd })}
            parse={planReaders.referenceAtEnds}
            isRequired
          />
        </FieldGrid>
      ) : null}
      <fieldset className="sheet-checks">
        <legend>Ask for, each time a setup is taken in hand</legend>
        {asks.map((ask) => (
          <Checkbox
            key={ask}
            isSelected={form.asks.includes(ask)}
            onChange={(isAsked) =>
              onChange({
                asks: asks.filter((other) => (other === ask ? isAsked : form.asks.includes(other))),
              })
            }
          >
            {askWords[ask]}
          </Checkbox>
        ))}
      </fieldset>
    </>
  );
}
