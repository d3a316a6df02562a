import { useState } from 'react';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { materialDensities } from '../calibration-form.ts';
import { standardReaders } from './standards-form.ts';

const OTHER = 'other';

export interface DensityFieldProps {
  readonly label: string;
  readonly typed: string;
  readonly onTyped: (typed: string) => void;
}

/** One of the usual materials, or a density of its own. */
export function DensityField({ label, typed, onTyped }: DensityFieldProps) {
  const [isOther, setIsOther] = useState(false);
  const suggested = materialDensities.find(({ key }) => key === typed)?.key;
  const isTyped = isOther || suggested === undefined;
  return (
    <>
      <ChoiceField
        label={`${label}, in kg/m³`}
        choices={[...materialDensities, { key: OTHER, label: 'Other' }]}
        selected={isTyped ? OTHER : suggested}
        onSelect={(key) => {
          setIsOther(key === OTHER);
          if (key !== OTHER) onTyped(key);
        }}
        help="Air bears a little of the weight, more of it the lighter the material."
      />
      {isTyped ? (
        <QuantityField
          label="Density"
          typed={typed}
          onTyped={onTyped}
          parse={standardReaders.density}
          isRequired
        />
      ) : null}
    </>
  );
}
