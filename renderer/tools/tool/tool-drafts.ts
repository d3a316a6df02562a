import { useState } from 'react';
import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { type CatalogueForm, catalogueForm, type FormUnits, withUnitsNamed } from './tool-form.ts';

export type FormPart = keyof CatalogueForm;

/** Only what was touched: all else is shown and stored as the catalogue has it by then, whoever changed it meanwhile. */
export interface ToolDraft {
  readonly typed: Partial<CatalogueForm>;
  /** The tool as it was stored when a part was first touched; without one for a new tool. */
  readonly touchedOn: Partial<Record<FormPart, CatalogueTool>>;
}

export const emptyToolDraft: ToolDraft = { typed: {}, touchedOn: {} };

export function isBegun({ typed }: ToolDraft): boolean {
  return Object.keys(typed).length > 0;
}

/** `stored`: as it is now; null: a new tool. */
export function withTyped(
  draft: ToolDraft,
  part: Partial<CatalogueForm>,
  stored: CatalogueTool | null,
): ToolDraft {
  const touchedNow = stored === null ? [] : partsOf(part).map((name) => [name, stored] as const);
  return {
    typed: { ...draft.typed, ...part },
    touchedOn: { ...Object.fromEntries(touchedNow), ...draft.touchedOn },
  };
}

/** Touched parts of which something else is stored now than when they were touched, and than what was typed. */
export function changedMeanwhile(
  { typed, touchedOn }: ToolDraft,
  stored: CatalogueTool | null,
  torqueUnit: TorqueUnit,
): FormPart[] {
  if (stored === null) return [];
  const now = catalogueForm(stored, torqueUnit);
  return partsOf(typed).filter((part) => {
    const before = touchedOn[part];
    return (
      before !== undefined &&
      !isSame(catalogueForm(before, torqueUnit)[part], now[part]) &&
      !isSame(typed[part], now[part])
    );
  });
}

/** What was typed stays, knowing what is stored by now. */
export function withTypedKept(draft: ToolDraft, part: FormPart, stored: CatalogueTool): ToolDraft {
  return { ...draft, touchedOn: { ...draft.touchedOn, [part]: stored } };
}

export function withStoredTaken(draft: ToolDraft, part: FormPart): ToolDraft {
  return { typed: without(draft.typed, part), touchedOn: without(draft.touchedOn, part) };
}

function without<Parts extends object>(parts: Parts, left: FormPart): Parts {
  return Object.fromEntries(Object.entries(parts).filter(([name]) => name !== left)) as Parts;
}

function partsOf(form: Partial<CatalogueForm>): FormPart[] {
  return Object.keys(form) as FormPart[];
}

function isSame(one: CatalogueForm[FormPart] | undefined, other: CatalogueForm[FormPart]): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

/** A draft with the units that numbers without one were typed in. */
export interface DraftInUnits {
  readonly draft: ToolDraft;
  readonly units: FormUnits;
}

/** The draft as it means the same by the units that are shown now: they can be switched while it lies here. */
export function draftFor({ draft, units }: DraftInUnits, shown: FormUnits): ToolDraft {
  const isSwitched = units.torqueUnit !== shown.torqueUnit || units.currency !== shown.currency;
  return isSwitched ? { ...draft, typed: withUnitsNamed(draft.typed, units) } : draft;
}

/** Outlives the page, so that a look at another one loses nothing that was typed; ends with the window. */
const drafts = new Map<string, DraftInUnits>();

export interface KeptToolDraft {
  readonly draft: ToolDraft;
  readonly write: (draft: ToolDraft) => void;
  readonly forget: () => void;
}

export function useToolDraft(key: string, units: FormUnits): KeptToolDraft {
  const [kept, setKept] = useState(() => drafts.get(key) ?? { draft: emptyToolDraft, units });
  return {
    draft: draftFor(kept, units),
    write: (next) => {
      if (isBegun(next)) drafts.set(key, { draft: next, units });
      else drafts.delete(key);
      setKept({ draft: next, units });
    },
    forget: () => {
      drafts.delete(key);
      setKept({ draft: emptyToolDraft, units });
    },
  };
}
