import { useState } from 'react';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { FieldGrid } from '../ui/Panel.tsx';
import { QuantityField } from '../ui/QuantityField.tsx';
import { type CalibrationForm, materialDensities, readers } from './calibration-form.ts';

interface WeightFieldsProps {
  readonly form: CalibrationForm;
  readonly onChange: (change: Partial<CalibrationForm>) => void;
}

const otherDensity = 'other';

/** The weight, the arm and what pulls on them. */
export function WeightFields({ form, onChange }: WeightFieldsProps) {
  const [isOther, setIsOther] = useState(false);
  const suggested = materialDensities.find(({ key }) => key === form.materialDensity)?.key;
  const isDensityTyped = isOther || suggested === undefined;
  return (
    <>
      <FieldGrid>
        <QuantityField
          label="Mass of the weight"
          typed={form.mass}
          onTyped={(mass) => onChange({ mass })}
          parse={readers.mass}
          placeholder="such as 20 kg or 45 lb"
          help="With its hanger, if that comes on with the weight"
          isRequired
        />
        <QuantityField
          label="Length of the arm"
          typed={form.armLength}
          onTyped={(armLength) => onChange({ armLength })}
          parse={readers.armLength}
          placeholder="such as 0.5 m or 24 in"
          help="From the axis to where the weight hangs"
          isRequired
        />
        <QuantityField
          label="Angle of the arm"
          typed={form.armAngle}
          onTyped={(armAngle) => onChange({ armAngle })}
          parse={readers.armAngle}
          help="From the horizontal, with the weight on"
          isRequired
        />
      </FieldGrid>
      <ChoiceField
        label="Material of the weight, in kg/m³"
        choices={[...materialDensities, { key: otherDensity, label: 'Other' }]}
        selected={isDensityTyped ? otherDensity : suggested}
        onSelect={(key) => {
          setIsOther(key === otherDensity);
          if (key !== otherDensity) onChange({ materialDensity: key });
        }}
        help="Air bears a little of the weight, more of it the lighter the material."
      />
      <FieldGrid>
        {isDensityTyped ? (
          <QuantityField
            label="Density of the material"
            typed={form.materialDensity}
            onTyped={(materialDensity) => onChange({ materialDensity })}
            parse={readers.materialDensity}
            isRequired
          />
        ) : null}
        <QuantityField
          label="Density of the air"
          typed={form.airDensity}
          onTyped={(airDensity) => onChange({ airDensity })}
          parse={readers.airDensity}
          help="1.2 kg/m³ near the sea; about 1.0 at 1600 m"
          isRequired
        />
      </FieldGrid>
      <ChoiceField
        label="Gravity"
        choices={[
          { key: 'location', label: 'From latitude and height' },
          { key: 'entered', label: 'Entered' },
        ]}
        selected={form.gravitySource}
        onSelect={(gravitySource) => onChange({ gravitySource })}
      />
      <FieldGrid>
        {form.gravitySource === 'entered' ? (
          <QuantityField
            label="Gravity"
            typed={form.gravity}
            onTyped={(gravity) => onChange({ gravity })}
            parse={readers.gravity}
            help="As measured at this place"
            isRequired
          />
        ) : (
          <>
            <QuantityField
              label="Latitude"
              typed={form.latitude}
              onTyped={(latitude) => onChange({ latitude })}
              parse={readers.latitude}
              placeholder="such as 52.5"
              help="Degrees; south of the equator negative"
              isRequired
            />
            <QuantityField
              label="Height above the sea"
              typed={form.height}
              onTyped={(height) => onChange({ height })}
              parse={readers.height}
              placeholder="such as 80 m or 260 ft"
              isRequired
            />
          </>
        )}
      </FieldGrid>
    </>
  );
}
