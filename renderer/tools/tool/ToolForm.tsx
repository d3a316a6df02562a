import { Label, TextArea, TextField as AriaTextField } from 'react-aria-components';
import { driveSizeSchema, toolClassSchema } from '../../../shared-lib/catalogue/catalogue-model.ts';
import type { Supply } from '../../../shared-lib/run-sheet/setup-model.ts';
import { itemReaders } from '../../run-sheet/items/item-form.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { classNames, driveNames, supplyNames } from '../tool-sentences.ts';
import { ClaimLines } from './ClaimLines.tsx';
import { PriceLines } from './PriceLines.tsx';
import { type CatalogueForm, type FormUnits, sizeReaders, UNKNOWN } from './tool-form.ts';

const supplies = (['battery', 'mains', 'air', 'hand'] as const satisfies readonly Supply[]).map((key) => ({
  key,
  label: supplyNames[key],
}));

const unknown = { key: UNKNOWN, label: 'Not known' } as const;
const classes = [unknown, ...[...toolClassSchema.values].map((key) => ({ key, label: classNames[key] }))];
const drives = [unknown, ...[...driveSizeSchema.values].map((key) => ({ key, label: driveNames[key] }))];

interface ToolFormProps {
  readonly form: CatalogueForm;
  readonly onChange: (part: Partial<CatalogueForm>) => void;
  readonly units: FormUnits;
  readonly isNew: boolean;
}

/** All that is known of a tool, in one form. */
export function ToolForm({ form, onChange, units, isNew }: ToolFormProps) {
  return (
    <div className="tool-form">
      <FieldGrid>
        <TextField
          label="Name"
          value={form.name}
          onChange={(name) => onChange({ name })}
          help="As it is to stand beside its figures"
          maxLength={80}
          isRequired
          autoFocus={isNew}
        />
        <TextField
          label="Maker"
          value={form.maker}
          onChange={(maker) => onChange({ maker })}
          maxLength={80}
        />
        <TextField
          label="Model"
          value={form.model}
          onChange={(model) => onChange({ model })}
          maxLength={80}
        />
        <SelectField
          label="Class"
          options={classes}
          selected={form.toolClass}
          onSelect={(toolClass) => onChange({ toolClass })}
        />
        <SelectField
          label="Drive"
          options={drives}
          selected={form.driveSize}
          onSelect={(driveSize) => onChange({ driveSize })}
        />
        <ChoiceField
          label="Supply"
          choices={supplies}
          selected={form.supply}
          onSelect={(supply) => onChange({ supply })}
        />
      </FieldGrid>
      <SizeFields form={form} onChange={onChange} />
      <ClaimLines claims={form.claims} onChange={(claims) => onChange({ claims })} units={units} />
      <PriceLines prices={form.prices} onChange={(prices) => onChange({ prices })} units={units} />
      <AriaTextField
        className="ui-field tool-note"
        value={form.note}
        onChange={(note) => onChange({ note })}
        maxLength={2000}
      >
        <Label className="ui-label">Note</Label>
        <TextArea className="ui-input" rows={3} placeholder="What a reader should know of this tool" />
      </AriaTextField>
    </div>
  );
}

function SizeFields({ form, onChange }: Pick<ToolFormProps, 'form' | 'onChange'>) {
  return (
    <FieldGrid>
      <QuantityField
        label="Length"
        typed={form.length}
        onTyped={(length) => onChange({ length })}
        parse={sizeReaders.length}
        placeholder="such as 150 mm or 6 in"
        help="Head to anvil, without socket"
      />
      <QuantityField
        label="Mass, bare"
        typed={form.massBare}
        onTyped={(massBare) => onChange({ massBare })}
        parse={sizeReaders.mass}
        placeholder="such as 1.6 kg or 3.5 lb"
        help="Without pack, hose or cable"
      />
      <QuantityField
        label="Mass, ready to use"
        typed={form.massLoaded}
        onTyped={(massLoaded) => onChange({ massLoaded })}
        parse={sizeReaders.mass}
        placeholder="such as 2.3 kg"
        help="With the pack it is used with"
      />
      <QuantityField
        label="Declared vibration"
        typed={form.vibration}
        onTyped={(vibration) => onChange({ vibration })}
        parse={itemReaders.vibration}
        placeholder="such as 12.5 m/s²"
        help="Total value from its manual"
      />
      <QuantityField
        label="Declared noise, dB(A)"
        typed={form.noise}
        onTyped={(noise) => onChange({ noise })}
        parse={itemReaders.noise}
        placeholder="such as 98"
        help="Sound pressure level at the ear"
      />
    </FieldGrid>
  );
}
