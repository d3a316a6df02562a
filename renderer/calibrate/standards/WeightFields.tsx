import type { WeightClass } from '../../../shared-lib/calibration/standards-model.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { DayField } from '../../ui/DayField.tsx';
import { FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { DensityField } from './DensityField.tsx';
import { standardReaders, type WeightForm } from './standards-form.ts';
import { StatedUncertaintyFields } from './StatedUncertaintyFields.tsx';

const classes = (['E2', 'F1', 'F2', 'M1', 'M2', 'M3'] as const satisfies readonly WeightClass[]).map(
  (weightClass) => ({ key: weightClass, label: weightClass }),
);

export interface StandardFieldsProps<Form> {
  readonly form: Form;
  readonly onChange: (part: Partial<Form>) => void;
}

export function WeightFields({ form, onChange }: StandardFieldsProps<WeightForm>) {
  return (
    <>
      <FieldGrid>
        <TextField
          label="Name"
          value={form.name}
          onChange={(name) => onChange({ name })}
          placeholder="such as 20 kg A"
          help="As it is marked on the weight"
          maxLength={80}
          isRequired
          autoFocus
        />
        <QuantityField
          label="Mass"
          typed={form.mass}
          onTyped={(mass) => onChange({ mass })}
          parse={standardReaders.mass}
          placeholder="such as 20 kg or 45 lb"
          help="Nominal, or of its certificate; with its hanger, if that comes on with it"
          isRequired
        />
      </FieldGrid>
      <ChoiceField
        label="How well the mass is known"
        choices={[
          { key: 'class', label: 'By its class (OIML R 111)' },
          { key: 'own', label: 'By a limit or a certificate of its own' },
        ]}
        selected={form.toleranceKind}
        onSelect={(toleranceKind) => onChange({ toleranceKind })}
      />
      {form.toleranceKind === 'class' ? (
        <ChoiceField
          label="Class"
          choices={classes}
          selected={form.weightClass}
          onSelect={(weightClass) => onChange({ weightClass })}
        />
      ) : (
        <StatedUncertaintyFields
          ofWhat="the mass"
          form={form.own}
          onChange={(own) => onChange({ own })}
          parse={standardReaders.massUncertainty}
          placeholder="such as 1 g"
        />
      )}
      <DensityField label="Material" typed={form.density} onTyped={(density) => onChange({ density })} />
      <FieldGrid>
        <TextField
          label="Certificate"
          value={form.certificate}
          onChange={(certificate) => onChange({ certificate })}
          placeholder="its number, if there is one"
          maxLength={120}
        />
        <DayField
          label="Its last day"
          day={form.validUntil}
          onDay={(validUntil) => onChange({ validUntil })}
          help="Empty: none, or it names none"
        />
      </FieldGrid>
    </>
  );
}
