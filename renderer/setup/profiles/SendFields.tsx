import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { readConverterBits, readNominalRate } from '../amplifier-form.ts';
import { readEscapedText } from './escaped-text.ts';
import { FormGroup } from './FormGroup.tsx';
import type { ProfileFieldsProps } from './PortFields.tsx';
import { readBandwidth } from './profile-form.ts';

export function KnownFactsFields({ form, onForm }: ProfileFieldsProps) {
  return (
    <FormGroup title="What is known of it">
      <QuantityField
        label="Nominal rate of the profile"
        typed={form.nominalRate}
        onTyped={(nominalRate) => onForm({ ...form, nominalRate })}
        parse={readNominalRate}
        help="Samples per second"
        isRequired
      />
      <QuantityField
        label="Bits of the converter"
        typed={form.converterBits}
        onTyped={(converterBits) => onForm({ ...form, converterBits })}
        parse={readConverterBits}
        help="Tells a reading at the end of its range"
        isRequired
      />
      <QuantityField
        label="Bandwidth of its input filter"
        typed={form.bandwidth}
        onTyped={(bandwidth) => onForm({ ...form, bandwidth })}
        parse={readBandwidth}
        help="In Hz; empty where it is not known"
      />
    </FormGroup>
  );
}

const texts = [
  { key: 'onOpen', label: 'When the port opens', help: 'Sent first' },
  { key: 'start', label: 'To start', help: 'For amplifiers that send lines only when told to' },
  { key: 'stop', label: 'To stop', help: 'Sent before the port is closed' },
  { key: 'zero', label: 'When the zero is set', help: 'The zero is read from samples after it' },
] as const;

export function SendFields({ form, onForm }: ProfileFieldsProps) {
  return (
    <FormGroup
      title="Texts to send"
      lead="Empty: nothing is sent. Control characters are typed as \r, \n, \t or \x with two hexadecimal digits; most amplifiers obey only after a line end."
    >
      {texts.map(({ key, label, help }) => {
        const reading = readEscapedText(form.texts[key]);
        return (
          <TextField
            key={key}
            label={label}
            value={form.texts[key]}
            onChange={(typed) => onForm({ ...form, texts: { ...form.texts, [key]: typed } })}
            problem={'problem' in reading ? reading.problem : null}
            help={help}
            maxLength={800}
          />
        );
      })}
    </FormGroup>
  );
}
