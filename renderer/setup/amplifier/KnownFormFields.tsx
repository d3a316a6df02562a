import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import { FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import {
  type AmplifierForm,
  readBaudRate,
  readConverterBits,
  readNominalRate,
  withProfile,
} from '../amplifier-form.ts';

interface KnownFormFieldsProps {
  readonly form: AmplifierForm;
  readonly profiles: readonly AmplifierProfile[];
  readonly onForm: (form: AmplifierForm) => void;
}

/** For lines of known form: the profile, and what is set differently on this amplifier. */
export function KnownFormFields({ form, profiles, onForm }: KnownFormFieldsProps) {
  const chosen = profiles.find((profile) => profile.id === form.profileId);
  return (
    <>
      <div className="setup-profile">
        <SelectField
          label="What a line holds"
          options={profiles.map(({ id, name, example }) => ({
            key: id,
            label: name,
            note: `for instance ${example}`,
          }))}
          selected={form.profileId}
          onSelect={(id) => {
            const profile = profiles.find((candidate) => candidate.id === id);
            if (profile !== undefined) onForm(withProfile(form, chosen, profile));
          }}
        />
        {chosen === undefined ? null : (
          <p className="setup-example">
            <span>Such a line</span> <code>{chosen.example}</code>
          </p>
        )}
      </div>
      <FieldGrid>
        <QuantityField
          label="Baud rate"
          typed={form.baudRate}
          onTyped={(baudRate) => onForm({ ...form, baudRate })}
          parse={readBaudRate}
          isRequired
        />
        <QuantityField
          label="Nominal rate"
          typed={form.nominalRate}
          onTyped={(nominalRate) => onForm({ ...form, nominalRate })}
          parse={readNominalRate}
          help="Samples per second, as the amplifier is set"
          isRequired
        />
        <QuantityField
          label="Converter bits"
          typed={form.converterBits}
          onTyped={(converterBits) => onForm({ ...form, converterBits })}
          parse={readConverterBits}
          help="Tells a reading at the end of its range"
          isRequired
        />
      </FieldGrid>
    </>
  );
}
