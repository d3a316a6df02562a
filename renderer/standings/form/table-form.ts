import {
  currencySchema,
  type DriveSize,
  driveSizeSchema,
  type ToolClass,
  toolClassSchema,
} from '../../../shared-lib/catalogue/catalogue-model.ts';
import type { QualityGate } from '../../../shared-lib/run-sheet/session-model.ts';
import { type Supply, supplySchema } from '../../../shared-lib/run-sheet/setup-model.ts';
import type { StandingsTable } from '../../../shared-lib/standings/standings-model.ts';
import { FormReader, type FormReading } from '../../ui/form-reader.ts';
import { capitalised, classesWords } from '../../../shared-lib/standings/words/measure-words.ts';

/** The form of a table: whom it takes in, by which rules. */
export interface TableForm {
  readonly name: string;
  /** Follows the classes until somebody has typed a name. */
  readonly isNameSuggested: boolean;
  readonly schemeId: string | null;
  readonly toolClasses: readonly ToolClass[];
  readonly driveSizes: readonly DriveSize[];
  readonly supplies: readonly Supply[];
  readonly isSimulated: boolean;
  readonly gate: QualityGate;
  readonly benches: 'one' | 'several';
  readonly currency: string;
}

export const toolClasses = toolClassSchema.def.values;
export const driveSizes = driveSizeSchema.def.values;
export const supplies = supplySchema.def.values;

export function emptyTableForm(start: {
  readonly schemeId: string | null;
  readonly isSimulated: boolean;
  readonly gate: QualityGate;
  readonly currency: string;
}): TableForm {
  return withSuggestedName({
    name: '',
    isNameSuggested: true,
    toolClasses: [],
    driveSizes: [],
    supplies: [],
    benches: 'one',
    ...start,
  });
}

export function tableForm(table: StandingsTable): TableForm {
  const { name, schemeId, isSimulated, gate, currency } = table;
  return {
    name,
    isNameSuggested: false,
    schemeId,
    toolClasses: table.toolClasses,
    driveSizes: table.driveSizes,
    supplies: table.supplies,
    isSimulated,
    gate,
    benches: table.benches ?? 'one',
    currency,
  };
}

/** A change of one part; a name that nobody has typed follows it. */
export function changedTableForm(form: TableForm, part: Partial<TableForm>): TableForm {
  return withSuggestedName({ ...form, ...part });
}

/** In the order of the list, whatever was picked first. */
export function toggled<Key extends string>(
  all: readonly Key[],
  picked: readonly Key[],
  key: Key,
  isPicked: boolean,
): Key[] {
  return all.filter((other) => (other === key ? isPicked : picked.includes(other)));
}

export function readTableForm(form: TableForm, id: string): FormReading<StandingsTable> {
  const reader = new FormReader();
  const name = reader.text('the name', form.name);
  if (form.schemeId === null) reader.missing.push('the scheme');
  const currency = currencySchema.safeParse(form.currency.trim().toUpperCase());
  if (!currency.success) reader.missing.push('the currency, as three letters such as EUR');
  if (reader.missing.length > 0 || form.schemeId === null || !currency.success) {
    return { missing: reader.missing };
  }
  return {
    value: {
      id,
      name,
      schemeId: form.schemeId,
      toolClasses: [...form.toolClasses],
      driveSizes: [...form.driveSizes],
      supplies: [...form.supplies],
      isSimulated: form.isSimulated,
      gate: form.gate,
      // Left out where it says nothing new, so that a table from before there was a choice stays as it was.
      ...(form.benches === 'several' ? { benches: form.benches } : {}),
      currency: currency.data,
      isArchived: false,
    },
  };
}

function withSuggestedName(form: TableForm): TableForm {
  if (!form.isNameSuggested) return form;
  const [only, ...others] = form.toolClasses;
  const words = only !== undefined && others.length === 0 ? classesWords[only] : 'all tools';
  const name = capitalised(words);
  return { ...form, name: form.isSimulated ? `${name}, simulated` : name };
}
