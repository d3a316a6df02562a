import type { QuantityReading } from './QuantityField.tsx';
import { valueOf } from './read-quantity.ts';

/** Reads the fields of a form one after the other and gathers the names of those that are still needed. */
export class FormReader {
  readonly missing: string[] = [];

  needed(name: string, typed: string, read: (typed: string) => QuantityReading): number {
    const value = typed.trim() === '' ? null : valueOf(read(typed));
    if (value !== null) return value;
    this.missing.push(name);
    return NaN;
  }

  /** Empty is allowed; what cannot be read is not. */
  optional(name: string, typed: string, read: (typed: string) => QuantityReading): number | null {
    return typed.trim() === '' ? null : this.needed(name, typed, read);
  }

  text(name: string, typed: string): string {
    if (typed.trim() === '') this.missing.push(name);
    return typed.trim();
  }
}

/** What a form comes to, or what is still needed in the order of the form. */
export type FormReading<Value> = { readonly value: Value } | { readonly missing: readonly string[] };

/** Numbers without a unit, such as a coverage factor; a comma or a point. */
export function plainNumberReader(min: number, max: number): (typed: string) => QuantityReading {
  return (typed) => {
    const text = typed.trim();
    const value = /^\d+(?:[.,]\d+)?$/.test(text) ? Number(text.replace(',', '.')) : NaN;
    if (!(value >= min && value <= max)) return { problem: `This takes a number from ${min} to ${max}.` };
    return { value, shown: String(value) };
  };
}
