import { describe, expect, it } from 'vitest';
import { whenKnown } from '../../../../main/package/compare-rows.ts';
import { additions } from '../../../../main/package/what-comes-in.ts';
import { packageTables } from '../../../../shared-lib/package/package-tables.ts';

describe('what is added to an entry that is here', () => {
  it('is told for every table that can be added to', () => {
    const canBeAddedTo = packageTables
      .filter(({ name, belongsTo }) => belongsTo !== null && whenKnown[name] !== 'fixed')
      .map(({ name }) => name);
    expect([...new Set(additions.map(({ table }) => table))].toSorted()).toEqual(canBeAddedTo.toSorted());
  });
});
