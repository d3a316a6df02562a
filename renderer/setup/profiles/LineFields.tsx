import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { FormGroup } from './FormGroup.tsx';
import type { ProfileFieldsProps } from './PortFields.tsx';
import { type CounterForm, readFieldNumber, readHexBits, readModulus } from './profile-form.ts';

const separators = [
  { key: 'comma', label: 'comma', text: ',' },
  { key: 'semicolon', label: 'semicolon', text: ';' },
  { key: 'space', label: 'space', text: ' ' },
  { key: 'tab', label: 'tab', text: '\t' },
] as const;

const numerals = [
  { key: 'decimal', label: 'decimal' },
  { key: 'hex', label: 'hexadecimal' },
] as const;

export function LineFields({ form, onForm }: ProfileFieldsProps) {
  return (
    <>
      <FormGroup title="Line" lead="Fields are counted from 1, from the left.">
        <SelectField
          label="Between the fields"
          options={separators}
          selected={separators.find(({ text }) => text === form.separator)?.key ?? null}
          onSelect={(key) => {
            const chosen = separators.find((separator) => separator.key === key);
            if (chosen !== undefined) onForm({ ...form, separator: chosen.text });
          }}
        />
        <ChoiceField
          label="Checksum"
          choices={[
            { key: 'none', label: 'none' },
            { key: 'xor', label: '$…*hh' },
          ]}
          selected={form.checksum}
          onSelect={(checksum) => onForm({ ...form, checksum })}
          help="hh: exclusive or of the characters between $ and *, as in NMEA 0183"
        />
      </FormGroup>
      <FormGroup title="Counts">
        <QuantityField
          label="Field of the counts"
          typed={form.countsField}
          onTyped={(countsField) => onForm({ ...form, countsField })}
          parse={readFieldNumber}
          isRequired
        />
        <ChoiceField
          label="Counts are"
          choices={numerals}
          selected={form.numeral}
          onSelect={(numeral) => onForm({ ...form, numeral })}
        />
        {form.numeral === 'hex' ? (
          <QuantityField
            label="Bits of the counts"
            typed={form.hexBits}
            onTyped={(hexBits) => onForm({ ...form, hexBits })}
            parse={readHexBits}
            help="Two’s complement: FFFF of 16 bits is −1"
            isRequired
          />
        ) : null}
      </FormGroup>
      <CounterFields
        title="Sequence number"
        toggle="Lines carry a number that rises by one"
        name="the sequence number"
        counter={form.sequence}
        onCounter={(sequence) => onForm({ ...form, sequence })}
      />
      <CounterFields
        title="Device time"
        toggle="Lines carry a time in microseconds"
        name="the device time"
        counter={form.deviceTimeUs}
        onCounter={(deviceTimeUs) => onForm({ ...form, deviceTimeUs })}
      />
    </>
  );
}

interface CounterFieldsProps {
  readonly title: string;
  readonly toggle: string;
  readonly name: string;
  readonly counter: CounterForm;
  readonly onCounter: (counter: CounterForm) => void;
}

function CounterFields({ title, toggle, name, counter, onCounter }: CounterFieldsProps) {
  return (
    <FormGroup title={title}>
      <Checkbox isSelected={counter.isPresent} onChange={(isPresent) => onCounter({ ...counter, isPresent })}>
        {toggle}
      </Checkbox>
      {counter.isPresent ? (
        <>
          <QuantityField
            label={`Field of ${name}`}
            typed={counter.field}
            onTyped={(field) => onCounter({ ...counter, field })}
            parse={readFieldNumber}
            isRequired
          />
          <QuantityField
            label={`Modulus of ${name}`}
            typed={counter.modulus}
            onTyped={(modulus) => onCounter({ ...counter, modulus })}
            parse={readModulus}
            help="Where it starts again at 0; 2^16 may be typed"
            isRequired
          />
          <ChoiceField
            label={`Numeral of ${name}`}
            choices={numerals}
            selected={counter.numeral}
            onSelect={(numeral) => onCounter({ ...counter, numeral })}
          />
        </>
      ) : null}
    </FormGroup>
  );
}
