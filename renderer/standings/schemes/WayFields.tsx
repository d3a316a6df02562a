import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { ActionRow, FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { quantityOfForm, type StepRow, termReaders } from './term-form.ts';
import type { TermFieldsProps } from './TermFields.tsx';

const ways = [
  { key: 'perUnit', label: 'Points per unit' },
  { key: 'shareOfBest', label: 'Share of the best' },
  { key: 'shareOfReference', label: 'Share of a reference' },
  { key: 'steps', label: 'Steps' },
] as const;
const referenceKinds = [
  { key: 'value', label: 'A fixed value' },
  { key: 'contender', label: 'A tool of the table' },
] as const;
const MOST_STEPS = 30;

type WayFieldsProps = Pick<TermFieldsProps, 'term' | 'context' | 'references' | 'onChange'>;

/** How a value becomes points, before factor and cap. */
export function WayFields({ term, context, references, onChange }: WayFieldsProps) {
  const quantity = quantityOfForm(term, context);
  const inUnit = quantity === null || quantity.unit === '' ? '' : `, ${quantity.unit}`;
  const parseAmount = quantity?.reader(true) ?? (() => ({ problem: 'Say first what is measured.' }));
  const parseFrom = quantity?.reader(false) ?? (() => ({ problem: 'Say first what is measured.' }));
  return (
    <>
      <ChoiceField
        label="How it becomes points"
        choices={ways}
        selected={term.way}
        onSelect={(way) =>
          onChange(way === 'steps' && term.steps.length === 0 ? { way, steps: [emptyStepRow()] } : { way })
        }
        {...(term.way === 'shareOfBest'
          ? { help: 'A share of the best moves for everybody when a better tool is added' }
          : {})}
      />
      {term.way === 'steps' ? (
        <StepsFields steps={term.steps} inUnit={inUnit} parseFrom={parseFrom} onChange={onChange} />
      ) : (
        <FieldGrid>
          <QuantityField
            label={
              term.way === 'perUnit'
                ? 'Points'
                : term.way === 'shareOfBest'
                  ? 'Points for the best'
                  : 'Points for the reference'
            }
            typed={term.points}
            onTyped={(points) => onChange({ points })}
            parse={termReaders.points}
            isRequired
          />
          {term.way === 'perUnit' ? (
            <QuantityField
              label={`For each${inUnit}`}
              typed={term.amount}
              onTyped={(amount) => onChange({ amount })}
              parse={parseAmount}
              isRequired
            />
          ) : null}
          {term.way === 'shareOfReference' && term.referenceIs === 'value' ? (
            <QuantityField
              label={`Reference${inUnit}`}
              typed={term.referenceValue}
              onTyped={(referenceValue) => onChange({ referenceValue })}
              parse={parseAmount}
              isRequired
            />
          ) : null}
          {term.way === 'shareOfReference' && term.referenceIs === 'contender' ? (
            <ReferenceToolField
              chosenKey={term.referenceKey}
              references={references}
              onChoose={(referenceKey) => onChange({ referenceKey })}
            />
          ) : null}
        </FieldGrid>
      )}
      {term.way === 'shareOfReference' ? (
        <ChoiceField
          label="The reference is"
          choices={referenceKinds}
          selected={term.referenceIs}
          onSelect={(referenceIs) => onChange({ referenceIs })}
        />
      ) : null}
    </>
  );
}

interface ReferenceToolFieldProps {
  readonly chosenKey: string | null;
  readonly references: TermFieldsProps['references'];
  readonly onChoose: (key: string) => void;
}

function ReferenceToolField({ chosenKey, references, onChoose }: ReferenceToolFieldProps) {
  const options = references.optionsFor(chosenKey);
  const selected = chosenKey === null ? null : references.currentKeyOf(chosenKey);
  return (
    <SelectField
      label="Reference tool"
      options={options}
      selected={selected}
      // What is stored stays until another tool is chosen, so that a merge can still be taken back.
      onSelect={(key) => (key === selected ? undefined : onChoose(key))}
      help={
        options.length === 0
          ? 'The table beside it has no tools yet'
          : 'Its own value counts as the reference'
      }
    />
  );
}

function emptyStepRow(): StepRow {
  return { key: crypto.randomUUID(), from: '', points: '' };
}

interface StepsFieldsProps {
  readonly steps: readonly StepRow[];
  readonly inUnit: string;
  readonly parseFrom: (typed: string) => ReturnType<typeof termReaders.points>;
  readonly onChange: WayFieldsProps['onChange'];
}

function StepsFields({ steps, inUnit, parseFrom, onChange }: StepsFieldsProps) {
  const change = (row: StepRow, part: Partial<StepRow>) =>
    onChange({ steps: steps.map((other) => (other === row ? { ...row, ...part } : other)) });
  return (
    <fieldset className="standings-checks">
      <legend>Steps, rising; below the first there are no points</legend>
      {steps.map((row, index) => (
        <div key={row.key} className="scheme-step">
          <QuantityField
            label={`Step ${index + 1} from${inUnit}`}
            typed={row.from}
            onTyped={(from) => change(row, { from })}
            parse={parseFrom}
            isRequired
          />
          <QuantityField
            label={`Step ${index + 1}, points`}
            typed={row.points}
            onTyped={(points) => change(row, { points })}
            parse={termReaders.points}
            isRequired
          />
          <Button
            look="quiet"
            aria-label={`Remove step ${index + 1}`}
            isDisabled={steps.length === 1}
            onPress={() => onChange({ steps: steps.filter((other) => other !== row) })}
          >
            Remove
          </Button>
        </div>
      ))}
      <ActionRow>
        <Button
          isDisabled={steps.length >= MOST_STEPS}
          onPress={() => onChange({ steps: [...steps, emptyStepRow()] })}
        >
          Add a step of points
        </Button>
      </ActionRow>
    </fieldset>
  );
}
