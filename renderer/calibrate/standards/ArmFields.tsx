import { FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { DensityField } from './DensityField.tsx';
import { type ArmForm, standardReaders } from './standards-form.ts';
import { StatedUncertaintyFields } from './StatedUncertaintyFields.tsx';
import type { StandardFieldsProps } from './WeightFields.tsx';

export function ArmFields({ form, onChange }: StandardFieldsProps<ArmForm>) {
  return (
    <>
      <FieldGrid>
        <TextField
          label="Name"
          value={form.name}
          onChange={(name) => onChange({ name })}
          placeholder="such as Long arm"
          maxLength={80}
          isRequired
          autoFocus
        />
        <QuantityField
          label="Length"
          typed={form.length}
          onTyped={(length) => onChange({ length })}
          parse={standardReaders.length}
          placeholder="such as 0.5 m or 24 in"
          help="From the axis to where the weights hang"
          isRequired
        />
      </FieldGrid>
      <StatedUncertaintyFields
        ofWhat="the length"
        form={form.lengthUncertainty}
        onChange={(lengthUncertainty) => onChange({ lengthUncertainty })}
        parse={standardReaders.lengthUncertainty}
        placeholder="such as 0.2 mm"
      />
      <FieldGrid>
        <QuantityField
          label="Angle"
          typed={form.angle}
          onTyped={(angle) => onChange({ angle })}
          parse={standardReaders.angle}
          help="From the horizontal, with weights on"
          isRequired
        />
        <QuantityField
          label="It lies within ±"
          typed={form.angleLimit}
          onTyped={(angleLimit) => onChange({ angleLimit })}
          parse={standardReaders.angleLimit}
          help="1° of a level arm costs 0.015 % of torque"
          isRequired
        />
      </FieldGrid>
      <Checkbox isSelected={form.isInZero} onChange={(isInZero) => onChange({ isInZero })}>
        The zero is taken with the bare arm on, so its own weight does not count
      </Checkbox>
      {form.isInZero ? null : (
        <>
          <FieldGrid>
            <QuantityField
              label="Mass of the arm"
              typed={form.ownMass}
              onTyped={(ownMass) => onChange({ ownMass })}
              parse={standardReaders.armMass}
              isRequired
            />
            <QuantityField
              label="Its centre of gravity"
              typed={form.ownCentre}
              onTyped={(ownCentre) => onChange({ ownCentre })}
              parse={standardReaders.centre}
              help="From the axis towards the weights"
              isRequired
            />
          </FieldGrid>
          <DensityField
            label="Material of the arm"
            typed={form.ownDensity}
            onTyped={(ownDensity) => onChange({ ownDensity })}
          />
        </>
      )}
    </>
  );
}
