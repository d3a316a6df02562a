import { describe, expect, it } from 'vitest';
import type { CatalogueTool, Price } from '../../../../shared-lib/catalogue/catalogue-model.ts';
import {
  changedMeanwhile,
  draftFor,
  emptyToolDraft,
  isBegun,
  type ToolDraft,
  withStoredTaken,
  withTyped,
  withTypedKept,
} from '../../../../renderer/tools/tool/tool-drafts.ts';
import {
  catalogueForm,
  emptyCatalogueForm,
  readCatalogueForm,
} from '../../../../renderer/tools/tool/tool-form.ts';
import { demoTool } from '../../../helpers/scripted-catalogue.ts';

const price = (id: string, amount: number): Price => ({
  id,
  kind: 'bare',
  amount,
  currency: 'EUR',
  on: '2026-02-01',
  source: 'shop',
});
const withDetails = (details: Partial<CatalogueTool['details']>) =>
  demoTool('t', 'Hollin H5 (demo)', { details });
const storedFrom = (draft: ToolDraft, stored: CatalogueTool) => {
  const form = { ...catalogueForm(stored, 'Nm'), ...draft.typed };
  const reading = readCatalogueForm(form, 't', stored, { torqueUnit: 'Nm', currency: 'EUR' });
  if ('missing' in reading) throw new Error(reading.missing.join());
  return reading.value.details;
};
const pricesOf = (stored: CatalogueTool) => catalogueForm(stored, 'Nm').prices;

const before = withDetails({ lengthM: 0.15, prices: [price('p1', 249)] });
const imported = withDetails({ lengthM: 0.15, prices: [price('p1', 249), price('p2', 199)] });

describe('what was typed of a tool and not stored', () => {
  it('takes back nothing of what was stored from elsewhere meanwhile', () => {
    const draft = withTyped(emptyToolDraft, { note: 'Anvil worn' }, before);
    expect(storedFrom(draft, imported)).toEqual({ ...imported.details, note: 'Anvil worn' });
    expect(changedMeanwhile(draft, imported, 'Nm')).toEqual([]);
  });

  it('is held against what was stored when it was first touched, whatever was typed after', () => {
    const removed = withTyped(emptyToolDraft, { prices: [] }, before);
    const goneOn = withTyped(removed, { note: 'Sold', prices: [] }, imported);
    expect(changedMeanwhile(removed, before, 'Nm')).toEqual([]);
    expect(changedMeanwhile(goneOn, imported, 'Nm')).toEqual(['prices']);
  });

  it('is no other choice where the same was stored from elsewhere', () => {
    const draft = withTyped(emptyToolDraft, { note: 'Anvil worn', prices: pricesOf(imported) }, before);
    const elsewhere = withDetails({ ...imported.details, note: 'Anvil worn' });
    expect(changedMeanwhile(draft, elsewhere, 'Nm')).toEqual([]);
  });

  it('stays, or gives way to what is stored, part by part as a person chooses', () => {
    const draft = withTyped(emptyToolDraft, { note: 'Sold', prices: [] }, before);
    const elsewhere = withDetails({ ...imported.details, note: 'Sent in' });
    expect(changedMeanwhile(draft, elsewhere, 'Nm')).toEqual(['note', 'prices']);
    const noteKept = withTypedKept(draft, 'note', elsewhere);
    expect(changedMeanwhile(noteKept, elsewhere, 'Nm')).toEqual(['prices']);
    const decided = withStoredTaken(noteKept, 'prices');
    expect(changedMeanwhile(decided, elsewhere, 'Nm')).toEqual([]);
    expect(storedFrom(decided, elsewhere)).toEqual({ ...imported.details, note: 'Sold' });
    expect(isBegun(withStoredTaken(decided, 'note'))).toBe(false);
  });

  it('is not changed by another unit of torque alone', () => {
    const claim = { id: 'c', kind: 'fastening', torqueNm: 611.7, source: 'box', statedOn: null } as const;
    const stored = withDetails({ claims: [claim] });
    const draft = withTyped(emptyToolDraft, { claims: [] }, stored);
    expect(changedMeanwhile(draft, stored, 'ftLbf')).toEqual([]);
    expect(changedMeanwhile(draft, withDetails({ claims: [{ ...claim, torqueNm: 700 }] }), 'ftLbf')).toEqual([
      'claims',
    ]);
  });

  it('goes on meaning the same in another unit of torque and another currency, typed with or without one', () => {
    const typed = {
      ...emptyCatalogueForm,
      name: 'Corvane C8 (demo)',
      claims: ['1200', '900 ft·lbf'].map((torque, index) => ({
        id: `c${index}`,
        kind: 'fastening' as const,
        torque,
        source: 'box',
        statedOn: '',
      })),
      prices: ['249', '$ 5', '199 GBP'].map((money, index) => ({
        id: `p${index}`,
        kind: 'bare' as const,
        money,
        on: '2026-02-01',
        source: 'shop',
      })),
    };
    const units = { torqueUnit: 'Nm', currency: 'EUR' } as const;
    const switched = { torqueUnit: 'ftLbf', currency: 'USD' } as const;
    const draft = withTyped(emptyToolDraft, typed, null);
    expect(draftFor({ draft, units }, units)).toBe(draft);
    const after = { ...emptyCatalogueForm, ...draftFor({ draft, units }, switched).typed };
    expect(after.prices[1]?.money).toBe('$ 5');
    const readable = (form: typeof after) => ({
      ...form,
      prices: form.prices.filter(({ id }) => id !== 'p1'),
    });
    const before = readCatalogueForm(readable({ ...typed }), 't', null, units);
    expect(before).toHaveProperty('value');
    expect(readCatalogueForm(readable(after), 't', null, switched)).toEqual(before);
  });

  it('of a new tool has nothing to be held against', () => {
    const draft = withTyped(emptyToolDraft, { ...emptyCatalogueForm, name: 'Corvane C8 (demo)' }, null);
    expect(changedMeanwhile(draft, null, 'Nm')).toEqual([]);
    expect(isBegun(draft)).toBe(true);
    expect(isBegun(emptyToolDraft)).toBe(false);
  });
});
