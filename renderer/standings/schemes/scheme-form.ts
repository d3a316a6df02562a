import type { SchemeDraft, TermMeasure } from '../../../shared-lib/standings/scheme-model.ts';
import { FormReader, type FormReading } from '../../ui/form-reader.ts';
import type { QuantityContext } from '../words/measure-quantity.ts';
import { quantityOf } from '../words/measure-quantity.ts';
import {
  figuresOfKind,
  measureOf,
  quantityOfForm,
  readTermForm,
  type TermForm,
  termForm,
} from './term-form.ts';

/** A scheme as it stands in the editor. */
export interface SchemeForm {
  readonly name: string;
  readonly note: string;
  readonly isNormalised: boolean;
  readonly terms: readonly TermForm[];
}

export const MOST_TERMS = 20;

export const emptySchemeForm: SchemeForm = { name: '', note: '', isNormalised: false, terms: [] };

export function schemeForm(draft: SchemeDraft, context: QuantityContext, newKey: () => string): SchemeForm {
  return {
    name: draft.name,
    note: draft.note,
    isNormalised: draft.isNormalised,
    terms: draft.terms.map((term) => termForm(term, context, newKey)),
  };
}

/** A change of one term. A figure that its kind of pull does not have gives way to the first that it has. */
export function withTerm(form: SchemeForm, id: string, part: Partial<TermForm>): SchemeForm {
  return {
    ...form,
    terms: form.terms.map((term) => {
      if (term.id !== id) return term;
      const changed = { ...term, ...part };
      const figures = figuresOfKind(changed.kind);
      const [first] = figures;
      return first === undefined || figures.includes(changed.figure)
        ? changed
        : { ...changed, figure: first };
    }),
  };
}

export function withoutTerm(form: SchemeForm, id: string): SchemeForm {
  return { ...form, terms: form.terms.filter((term) => term.id !== id) };
}

/** Up by -1, down by 1; nothing happens at the ends. */
export function movedTerm(form: SchemeForm, id: string, by: -1 | 1): SchemeForm {
  const from = form.terms.findIndex((term) => term.id === id);
  const to = from + by;
  const term = form.terms[from];
  const other = form.terms[to];
  if (term === undefined || other === undefined) return form;
  const terms = [...form.terms];
  terms[from] = other;
  terms[to] = term;
  return { ...form, terms };
}

/** What a term is called: as somebody typed it, else by its measure; empty where neither is there yet. */
export function termLabel(term: TermForm, words: (measure: TermMeasure) => string): string {
  if (!term.isLabelSuggested) return term.label.trim();
  const measure = measureOf(term);
  return measure === null ? '' : words(measure).slice(0, 80);
}

export function readSchemeForm(
  form: SchemeForm,
  context: QuantityContext,
  words: (measure: TermMeasure) => string,
): FormReading<SchemeDraft> {
  const reader = new FormReader();
  const name = reader.text('the name of the scheme', form.name);
  if (form.terms.length === 0) reader.missing.push('a term');
  const terms = form.terms.flatMap((term) => {
    const read = readTermForm(term, termLabel(term, words), context, reader);
    return read === null ? [] : [read];
  });
  if (reader.missing.length > 0) return { missing: reader.missing };
  return { value: { name, terms, isNormalised: form.isNormalised, note: form.note.trim() } };
}

/**
 * The same numbers after the unit of torque was switched: those without a typed unit would otherwise mean something else.
 * What cannot be read stays as it was typed.
 */
export function inOtherContext(form: SchemeForm, from: QuantityContext, to: QuantityContext): SchemeForm {
  return { ...form, terms: form.terms.map((term) => termInOtherContext(term, from, to)) };
}

function termInOtherContext(term: TermForm, from: QuantityContext, to: QuantityContext): TermForm {
  const quantity = quantityOfForm(term, from);
  const measure = measureOf(term);
  if (quantity === null || measure === null) return term;
  const target = quantityOf(measure, to);
  const converted = (typed: string, isAboveZero: boolean): string => {
    const reading = typed.trim() === '' ? null : quantity.reader(isAboveZero)(typed);
    return reading !== null && 'value' in reading ? target.typed(reading.value) : typed;
  };
  return {
    ...term,
    amount: converted(term.amount, true),
    referenceValue: converted(term.referenceValue, true),
    steps: term.steps.map((row) => ({ ...row, from: converted(row.from, false) })),
  };
}
