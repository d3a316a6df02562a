import { describe, expect, it } from 'vitest';
import { standingsTableSchema } from '../../../../shared-lib/standings/standings-model.ts';
import {
  changedTableForm,
  emptyTableForm,
  readTableForm,
  tableForm,
  toggled,
  toolClasses,
} from '../../../../renderer/standings/form/table-form.ts';
import {
  cellAddress,
  readAddressPart,
  schemeAddress,
} from '../../../../renderer/standings/standings-addresses.ts';
import { demoTable } from '../../../helpers/scripted-standings.ts';

const start = { schemeId: 'scheme-1', isSimulated: false, gate: 'goodAndLook', currency: 'EUR' } as const;

describe('the form of a table', () => {
  it('gives back the table that it was given', () => {
    expect(readTableForm(tableForm(demoTable), demoTable.id)).toEqual({ value: demoTable });
  });

  it('suggests a name from what is picked, and leaves alone what somebody typed', () => {
    const form = emptyTableForm(start);
    expect(form.name).toBe('All tools');
    const picked = changedTableForm(form, { toolClasses: ['impactWrench'], isSimulated: true });
    expect(picked.name).toBe('Impact wrenches, simulated');
    const named = changedTableForm(picked, { name: 'Mine', isNameSuggested: false });
    expect(changedTableForm(named, { toolClasses: [] }).name).toBe('Mine');
  });

  it('takes a currency in small letters and refuses what is none', () => {
    const reading = readTableForm({ ...emptyTableForm(start), currency: 'usd' }, 'table-2');
    if (!('value' in reading)) throw new Error(reading.missing.join());
    expect(standingsTableSchema.parse(reading.value)).toMatchObject({
      id: 'table-2',
      currency: 'USD',
      isArchived: false,
    });
    expect(
      readTableForm({ ...emptyTableForm({ ...start, schemeId: null }), name: ' ', currency: '€' }, 'x'),
    ).toEqual({
      missing: ['the name', 'the scheme', 'the currency, as three letters such as EUR'],
    });
  });

  it('keeps the order of the list, whatever was picked first', () => {
    const once = toggled(toolClasses, [], 'wrench', true);
    expect(toggled(toolClasses, once, 'drill', true)).toEqual(['drill', 'wrench']);
    expect(toggled(toolClasses, ['drill', 'wrench'], 'drill', false)).toEqual(['wrench']);
  });
});

describe('addresses', () => {
  /** As the router does it: letters and "%" are decoded, what separates parts is not. */
  const routed = (address: string): string => decodeURI(address).split('?')[0]!.split('/')[4]!;

  it.each(['setup:setup-1', 'name:hollin h5 (demo)', 'name:1/2 inch', 'name:50% power', 'name:schlüssel ½'])(
    'of a cell bring back the key %s',
    (key) => {
      const address = cellAddress({ tableId: 'table-1', key, termId: 'torque', editionId: null });
      expect(readAddressPart(routed(address))).toBe(key);
    },
  );

  it('carry edition, copied scheme and table as parameters', () => {
    const cell = { tableId: 't', key: 'name:a b', termId: 'torque', editionId: 'e 1' };
    expect(cellAddress(cell)).toBe('/standings/t/cell/name%3Aa%20b/torque?edition=e%201');
    expect(schemeAddress('new', { from: 'ready-strength', tableId: 't' })).toBe(
      '/standings/schemes/new?from=ready-strength&table=t',
    );
    expect(schemeAddress('own')).toBe('/standings/schemes/own');
  });
});
