import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { type SiteForm, standardReaders } from './standards-form.ts';
import { StatedUncertaintyFields } from './StatedUncertaintyFields.tsx';
import type { StandardFieldsProps } from './WeightFields.tsx';

export function SiteFields({ form, onChange }: StandardFieldsProps<SiteForm>) {
  const isStated = form.gravitySource === 'entered' || form.isGravityStated;
  return (
    <>
      <FieldGrid>
        <TextField
          label="Name"
          value={form.name}
          onChange={(name) => onChange({ name })}
          placeholder="such as Workshop"
          maxLength={80}
          isRequired
          autoFocus
        />
      </FieldGrid>
      <ChoiceField
        label="Gravity"
        choices={[
          { key: 'location', label: 'From latitude and height' },
          { key: 'entered', label: 'As measured here' },
        ]}
        selected={form.gravitySource}
        onSelect={(gravitySource) => onChange({ gravitySource })}
      />
      <FieldGrid>
        {form.gravitySource === 'entered' ? (
          <QuantityField
            label="Gravity at this place"
            typed={form.gravity}
            onTyped={(gravity) => onChange({ gravity })}
            parse={standardReaders.gravity}
            placeholder="such as 9.81265"
            isRequired
          />
        ) : (
          <>
            <QuantityField
              label="Latitude"
              typed={form.latitude}
              onTyped={(latitude) => onChange({ latitude })}
              parse={standardReaders.latitude}
              placeholder="such as 52.5"
              help="Degrees; south of the equator negative"
              isRequired
            />
            <QuantityField
              label="Height above the sea"
              typed={form.height}
              onTyped={(height) => onChange({ height })}
              parse={standardReaders.height}
              placeholder="such as 80 m or 260 ft"
              isRequired
            />
          </>
        )}
      </FieldGrid>
      {form.gravitySource === 'location' ? (
        <Checkbox
          isSelected={form.isGravityStated}
          onChange={(isGravityStated) => onChange({ isGravityStated })}
        >
          I know better how far it may be off than what is known of such places in general
        </Checkbox>
      ) : null}
      {isStated ? (
        <StatedUncertaintyFields
          ofWhat="gravity"
          form={form.gravityUncertainty}
          onChange={(gravityUncertainty) => onChange({ gravityUncertainty })}
          parse={standardReaders.gravityUncertainty}
          placeholder="such as 0.0001 m/s²"
        />
      ) : null}
      <ChoiceField
        label="Air"
        choices={[
          { key: 'standard', label: 'Standard, 1.2 kg/m³' },
          { key: 'entered', label: 'Density entered' },
          { key: 'measured', label: 'Measured' },
        ]}
        selected={form.airSource}
        onSelect={(airSource) => onChange({ airSource })}
      />
      {form.airSource === 'entered' ? (
        <FieldGrid>
          <QuantityField
            label="Density of the air"
            typed={form.airDensity}
            onTyped={(airDensity) => onChange({ airDensity })}
            parse={standardReaders.airDensity}
            help="About 1.2 kg/m³ near the sea, 1.0 at 1600 m"
            isRequired
          />
        </FieldGrid>
      ) : null}
      {form.airSource === 'measured' ? (
        <FieldGrid>
          <QuantityField
            label="Temperature"
            typed={form.temperature}
            onTyped={(temperature) => onChange({ temperature })}
            parse={standardReaders.temperature}
            placeholder="such as 21 °C"
            isRequired
          />
          <QuantityField
            label="Air pressure at this place"
            typed={form.pressure}
            onTyped={(pressure) => onChange({ pressure })}
            parse={standardReaders.pressure}
            placeholder="such as 1005 hPa"
            help="As a barometer here reads, not reduced to sea level"
            isRequired
          />
          <QuantityField
            label="Relative humidity"
            typed={form.humidity}
            onTyped={(humidity) => onChange({ humidity })}
            parse={standardReaders.humidity}
            placeholder="such as 45 %"
            isRequired
          />
        </FieldGrid>
      ) : null}
    </>
  );
}
