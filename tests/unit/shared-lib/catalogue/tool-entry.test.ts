import { describe, expect, it } from 'vitest';
import { checkToolEntry, noDetails } from '../../../../shared-lib/catalogue/tool-entry.ts';
import { kitPrice } from './demo-tools.ts';

describe('what contradicts itself in an entry', () => {
  const check = (details: Partial<typeof noDetails>) =>
    checkToolEntry({ details: { ...noDetails, ...details } });
  const claim = { id: 'a', kind: 'fastening', torqueNm: 1000, source: 'box', statedOn: null } as const;

  it('is nothing in an empty one, nor where the pack weighs something', () => {
    expect(check({})).toEqual([]);
    expect(check({ massBareKg: 1.9, massLoadedKg: 2.5 })).toEqual([]);
  });

  it('is a mass with pack below that without', () => {
    expect(check({ massBareKg: 2.5, massLoadedKg: 1.9 })[0]).toContain('less than the bare mass');
  });

  it('is two torques or two prices in one place', () => {
    expect(check({ claims: [claim, { ...claim, id: 'b', torqueNm: 1200 }] })[0]).toContain('Two claims');
    expect(check({ claims: [claim, { ...claim, id: 'b', kind: 'breakaway' }] })).toEqual([]);
    expect(check({ prices: [kitPrice(), kitPrice({ id: 'b', amount: 1 })] })[0]).toContain('Two prices');
    expect(check({ prices: [kitPrice(), kitPrice({ id: 'b', source: 'market' })] })).toEqual([]);
    expect(check({ prices: [kitPrice(), kitPrice({ source: 'market' })] })[0]).toContain('same id');
  });
});
