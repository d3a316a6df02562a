import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { FormGroup } from './FormGroup.tsx';
import type { ProfileFieldsProps } from './PortFields.tsx';
import { type FlagBitForm, readFieldNumber, readFlagBit } from './profile-form.ts';

const MOST_BITS = 32;

/** A field whose bits say how the amplifier itself fares. */
export function FlagFields({ form, onForm }: ProfileFieldsProps) {
  const { statusFlags } = form;
  const change = (changed: Partial<typeof statusFlags>) =>
    onForm({ ...form, statusFlags: { ...statusFlags, ...changed } });
  const changeBit = (index: number, bit: FlagBitForm) =>
    change({ bits: statusFlags.bits.map((before, place) => (place === index ? bit : before)) });
  return (
    <>
      <FormGroup title="Status flags" lead="Bit 0 is the lowest of the number.">
        <Checkbox isSelected={statusFlags.isPresent} onChange={(isPresent) => change({ isPresent })}>
          Lines carry flags of the amplifier
        </Checkbox>
        {statusFlags.isPresent ? (
          <>
            <QuantityField
              label="Field of the status flags"
              typed={statusFlags.field}
              onTyped={(field) => change({ field })}
              parse={readFieldNumber}
              isRequired
            />
            <ChoiceField
              label="Status flags are"
              choices={[
                { key: 'decimal', label: 'decimal' },
                { key: 'hex', label: 'hexadecimal' },
              ]}
              selected={statusFlags.numeral}
              onSelect={(numeral) => change({ numeral })}
            />
          </>
        ) : null}
      </FormGroup>
      {statusFlags.isPresent ? (
        <>
          <ul className="flag-bits" aria-label="Status bits">
            {statusFlags.bits.map((bit, index) => (
              <li key={index} className="flag-bit">
                <FlagBitFields number={index + 1} bit={bit} onBit={(changed) => changeBit(index, changed)} />
                <Button
                  look="quiet"
                  aria-label={`Remove status bit ${index + 1}`}
                  onPress={() => change({ bits: statusFlags.bits.filter((_, place) => place !== index) })}
                >
                  Remove
                </Button>
              </li>
            ))}
          </ul>
          <div>
            <Button
              isDisabled={statusFlags.bits.length >= MOST_BITS}
              onPress={() =>
                change({
                  bits: [
                    ...statusFlags.bits,
                    { bit: String(nextBit(statusFlags.bits)), meaning: '', isFault: true },
                  ],
                })
              }
            >
              Add a status bit
            </Button>
          </div>
        </>
      ) : null}
    </>
  );
}

interface FlagBitFieldsProps {
  readonly number: number;
  readonly bit: FlagBitForm;
  readonly onBit: (bit: FlagBitForm) => void;
}

function FlagBitFields({ number, bit, onBit }: FlagBitFieldsProps) {
  return (
    <>
      <QuantityField
        label={`Number of status bit ${number}`}
        typed={bit.bit}
        onTyped={(typed) => onBit({ ...bit, bit: typed })}
        parse={readFlagBit}
        isRequired
      />
      <TextField
        label={`Meaning of status bit ${number}`}
        value={bit.meaning}
        onChange={(meaning) => onBit({ ...bit, meaning })}
        placeholder="such as overrange"
        maxLength={80}
        isRequired
      />
      <Checkbox isSelected={bit.isFault} onChange={(isFault) => onBit({ ...bit, isFault })}>
        A fault while it is set
      </Checkbox>
    </>
  );
}

function nextBit(bits: readonly FlagBitForm[]): number {
  const used = new Set(bits.map(({ bit }) => Number(bit)));
  return Array.from({ length: MOST_BITS }, (_, bit) => bit).find((bit) => !used.has(bit)) ?? 0;
}
