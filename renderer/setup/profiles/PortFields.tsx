import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { readBaudRate } from '../amplifier-form.ts';
import { FormGroup } from './FormGroup.tsx';
import type { ProfileForm } from './profile-form.ts';

export interface ProfileFieldsProps {
  readonly form: ProfileForm;
  readonly onForm: (form: ProfileForm) => void;
}

const lineEndings = [
  { key: 'lf', label: '\\n', text: '\n' },
  { key: 'crlf', label: '\\r\\n', text: '\r\n' },
  { key: 'cr', label: '\\r', text: '\r' },
] as const;

export function PortFields({ form, onForm }: ProfileFieldsProps) {
  return (
    <FormGroup
      title="Port"
      lead="As the manual of the amplifier has it; most are 8 data bits, no parity, 1 stop bit."
    >
      <QuantityField
        label="Baud rate of the profile"
        typed={form.baudRate}
        onTyped={(baudRate) => onForm({ ...form, baudRate })}
        parse={readBaudRate}
        isRequired
      />
      <ChoiceField
        label="Data bits"
        choices={[
          { key: '8', label: '8' },
          { key: '7', label: '7' },
        ]}
        selected={form.dataBits === 8 ? '8' : '7'}
        onSelect={(key) => onForm({ ...form, dataBits: key === '8' ? 8 : 7 })}
      />
      <ChoiceField
        label="Parity"
        choices={[
          { key: 'none', label: 'none' },
          { key: 'even', label: 'even' },
          { key: 'odd', label: 'odd' },
        ]}
        selected={form.parity}
        onSelect={(parity) => onForm({ ...form, parity })}
      />
      <ChoiceField
        label="Stop bits"
        choices={[
          { key: '1', label: '1' },
          { key: '2', label: '2' },
        ]}
        selected={form.stopBits === 1 ? '1' : '2'}
        onSelect={(key) => onForm({ ...form, stopBits: key === '1' ? 1 : 2 })}
      />
      <ChoiceField
        label="A line ends with"
        choices={lineEndings}
        selected={lineEndings.find(({ text }) => text === form.lineEnding)?.key ?? null}
        onSelect={(key) => {
          const chosen = lineEndings.find((ending) => ending.key === key);
          if (chosen !== undefined) onForm({ ...form, lineEnding: chosen.text });
        }}
        help="\n and \r\n may be mixed"
      />
    </FormGroup>
  );
}
