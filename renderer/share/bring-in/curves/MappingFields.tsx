import { useState } from 'react';
import type { CurveMapping } from '../../../../shared-lib/exchange/exchange-requests.ts';
import { ChoiceField } from '../../../ui/ChoiceField.tsx';
import { FieldGrid } from '../../../ui/Panel.tsx';
import { QuantityField } from '../../../ui/QuantityField.tsx';
import { quantityReader, valueOf } from '../../../ui/read-quantity.ts';
import { SelectField } from '../../../ui/SelectField.tsx';

const separators = [
  { key: ',', label: 'Comma' },
  { key: ';', label: 'Semicolon' },
  { key: '\t', label: 'Tab' },
] as const;
const decimals = [
  { key: '.', label: 'Point' },
  { key: ',', label: 'Comma' },
] as const;
const timeUnits = [
  { key: 's', label: 's' },
  { key: 'ms', label: 'ms' },
] as const;
const torqueUnits = [
  { key: 'Nm', label: 'N·m' },
  { key: 'ftLbf', label: 'ft·lbf' },
  { key: 'inLbf', label: 'in·lbf' },
  { key: 'kgfm', label: 'kgf·m' },
] as const;
const digits = ['all', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9'] as const;
const digitChoices = digits.map((key) => ({
  key,
  label: key === 'all' ? 'All, nothing is rounded' : key,
}));
const readRate = quantityReader({ kind: 'sampleRate', unit: 'SaPerS', min: 10, max: 200_000 });

export interface MappingFieldsProps {
  readonly mapping: CurveMapping;
  readonly onMapping: (mapping: CurveMapping) => void;
}

/** How the file is read; what each column is, is chosen in its head. */
export function MappingFields({ mapping, onMapping }: MappingFieldsProps) {
  const [rate, setRate] = useState('');
  const change = (changes: Partial<CurveMapping>): void => onMapping({ ...mapping, ...changes });
  return (
    <FieldGrid>
      <ChoiceField
        label="Cells are separated by"
        choices={separators}
        selected={mapping.separator}
        onSelect={(separator) => change({ separator })}
      />
      <ChoiceField
        label="Before decimals stands a"
        choices={decimals}
        selected={mapping.decimal}
        onSelect={(decimal) => change({ decimal })}
      />
      <ChoiceField
        label="The first line is"
        choices={[
          { key: 'header', label: 'Names of columns' },
          { key: 'data', label: 'Numbers' },
        ]}
        selected={mapping.hasHeader ? 'header' : 'data'}
        onSelect={(first) => change({ hasHeader: first === 'header' })}
      />
      {mapping.timeColumn === null ? (
        <QuantityField
          label="Samples a second"
          typed={rate}
          onTyped={(typed) => {
            setRate(typed);
            change({ sampleRateHz: valueOf(readRate(typed)) });
          }}
          parse={readRate}
          help="There is no column of times, so the lines are as far apart as this says."
          isRequired
        />
      ) : (
        <ChoiceField
          label="Times are in"
          choices={timeUnits}
          selected={mapping.timeUnit}
          onSelect={(timeUnit) => change({ timeUnit })}
        />
      )}
      <SelectField
        label="Torque is in"
        options={torqueUnits}
        selected={mapping.torqueUnit}
        onSelect={(torqueUnit) => change({ torqueUnit })}
      />
      <SelectField
        label="Digits kept behind the decimal sign"
        options={digitChoices}
        selected={digits.find((key) => key === String(mapping.decimals ?? 'all')) ?? 'all'}
        onSelect={(key) => change({ decimals: key === 'all' ? null : Number(key) })}
      />
    </FieldGrid>
  );
}
