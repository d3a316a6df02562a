import { ChevronDown } from 'lucide-react';
import { useEffect, useState } from 'react';
import type { SelectField, SelectFieldProps } from '../ui/SelectField.tsx';
import { fetchSelectField } from './later-parts.ts';
import '../ui/fields.css';

/** The list with its popover is a tenth of what a page would have to read before its first picture. */
let fetched: typeof SelectField | null = null;

/**
 * A `SelectField` of the first picture. Until the field itself has come, some tenths of a second later, its face stands there in the same
 * place and size, and cannot be pressed.
 */
export function LaterSelectField<Key extends string>(props: SelectFieldProps<Key>) {
  const [Field, setField] = useState(() => fetched);
  const [failure, setFailure] = useState<Error | null>(null);
  if (failure !== null) throw failure;

  useEffect(() => {
    if (Field !== null) return undefined;
    let isMounted = true;
    // Behind the first picture, not in the same task.
    const frame = requestAnimationFrame(() => {
      fetchSelectField().then(
        (loaded) => {
          fetched = loaded;
          if (isMounted) setField(() => loaded);
        },
        (cause: unknown) => setFailure(new Error('A field could not be fetched', { cause })),
      );
    });
    return () => {
      isMounted = false;
      cancelAnimationFrame(frame);
    };
  }, [Field]);

  if (Field !== null) return <Field {...props} />;
  return <Face {...props} />;
}

function Face<Key extends string>({
  label,
  isLabelHidden = false,
  options,
  selected,
  placeholder = 'Choose',
  isDisabled = false,
}: SelectFieldProps<Key>) {
  const value = options.find(({ key }) => key === selected)?.label ?? placeholder;
  return (
    <div className="ui-field">
      {isLabelHidden ? null : <span className="ui-label">{label}</span>}
      <button
        type="button"
        className="ui-select-button"
        aria-label={`${value} ${label}`}
        aria-disabled="true"
        {...(isDisabled ? { 'data-disabled': true } : {})}
      >
        <span>{value}</span>
        <ChevronDown aria-hidden="true" size={18} />
      </button>
    </div>
  );
}
