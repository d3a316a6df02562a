import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField, type QuantityReading } from '../../ui/QuantityField.tsx';
import { readCoverageFactor, type StatedUncertaintyForm } from './stated-uncertainty-form.ts';

export interface StatedUncertaintyFieldsProps {
  /** What is known so well, such as "the length". */
  readonly ofWhat: string;
  readonly form: StatedUncertaintyForm;
  readonly onChange: (form: StatedUncertaintyForm) => void;
  readonly parse: (typed: string) => QuantityReading;
  readonly placeholder: string;
}

/** A limit that the value lies within, or U and k of a certificate. */
export function StatedUncertaintyFields({
  ofWhat,
  form,
  onChange,
  parse,
  placeholder,
}: StatedUncertaintyFieldsProps) {
  const change = (part: Partial<StatedUncertaintyForm>) => onChange({ ...form, ...part });
  return (
    <>
      <ChoiceField
        label={`How well ${ofWhat} is known`}
        choices={[
          { key: 'limit', label: 'Within a limit' },
          { key: 'certificate', label: 'U and k of a certificate' },
        ]}
        selected={form.kind}
        onSelect={(kind) => change({ kind })}
      />
      <FieldGrid>
        {form.kind === 'limit' ? (
          <QuantityField
            label={`Limit of ${ofWhat}, ±`}
            typed={form.limit}
            onTyped={(limit) => change({ limit })}
            parse={parse}
            placeholder={placeholder}
            isRequired
          />
        ) : (
          <>
            <QuantityField
              label="Expanded uncertainty U"
              typed={form.expanded}
              onTyped={(expanded) => change({ expanded })}
              parse={parse}
              placeholder={placeholder}
              isRequired
            />
            <QuantityField
              label="Coverage factor k"
              typed={form.coverageFactor}
              onTyped={(coverageFactor) => change({ coverageFactor })}
              parse={readCoverageFactor}
              isRequired
            />
          </>
        )}
      </FieldGrid>
    </>
  );
}
