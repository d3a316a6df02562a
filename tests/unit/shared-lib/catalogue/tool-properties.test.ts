import { describe, expect, it } from 'vitest';
import type { ExchangeRate } from '../../../../shared-lib/catalogue/catalogue-model.ts';
import { propertiesOf } from '../../../../shared-lib/catalogue/tool-properties.ts';
import { type ToolProperty, toolPropertySchema } from '../../../../shared-lib/standings/scheme-model.ts';
import { propertyValueSchema } from '../../../../shared-lib/standings/standings-model.ts';
import { demoTool, kitPrice, rating } from './demo-tools.ts';

const context = { currency: 'EUR', rates: [] as ExchangeRate[], on: '2026-06-30' };
const rate = (changes: Partial<ExchangeRate> = {}): ExchangeRate => ({
  currency: 'GBP',
  inCurrency: 'EUR',
  rate: 1.2,
  on: '2026-01-01',
  source: 'bank',
  ...changes,
});

function propertyOf(
  property: ToolProperty,
  tool: ReturnType<typeof demoTool>,
  changes: Partial<typeof context> = {},
) {
  const found = propertiesOf(tool, { ...context, ...changes }).find((value) => value.property === property);
  if (found === undefined) throw new Error(`No ${property}`);
  return found;
}
const priced = (...prices: ReturnType<typeof kitPrice>[]) =>
  demoTool('hollin', 'Hollin H5', { details: { prices } });

describe('what standings can ask of a tool', () => {
  it('is there once each, missing with a reason where nothing was entered', () => {
    const properties = propertiesOf(demoTool('hollin', 'Hollin H5'), context);
    expect(properties.map(({ property }) => property).toSorted()).toEqual(
      [...toolPropertySchema.values].toSorted(),
    );
    for (const value of properties) {
      expect(propertyValueSchema.parse(value)).toMatchObject({
        value: null,
        source: '',
        standardError: null,
      });
      expect(value.missing).toMatch(/^\S.*\.$/);
    }
  });

  it('has masses, length and declared values as they were entered', () => {
    const tool = demoTool('hollin', 'Hollin H5', {
      tool: { declaredVibrationMps2: 12, declaredNoiseDbA: 98 },
      details: { massBareKg: 1.9, lengthM: 0.18 },
    });
    expect(propertyOf('massBare', tool)).toMatchObject({ value: 1.9, missing: null });
    expect(propertyOf('length', tool)).toMatchObject({ value: 0.18 });
    expect(propertyOf('declaredVibration', tool)).toMatchObject({ value: 12 });
    expect(propertyOf('declaredNoise', tool)).toMatchObject({ value: 98 });
  });

  it('never takes the bare mass for the mass with a pack', () => {
    const tool = demoTool('hollin', 'Hollin H5', { details: { massBareKg: 1.9 } });
    expect(propertyOf('massLoaded', tool)).toMatchObject({
      value: null,
      missing: 'Its mass with its pack is not entered.',
    });
  });
});

describe('the price in force', () => {
  it('is the newest of its kind up to the day', () => {
    const tool = priced(
      kitPrice({ id: 'c', amount: 179, on: '2026-06-30' }),
      kitPrice({ id: 'a', amount: 219, on: '2026-01-15' }),
      kitPrice({ id: 'd', amount: 149, on: '2026-07-01' }),
      kitPrice({ id: 'e', kind: 'bare', amount: 99, on: '2026-06-30' }),
    );
    expect(propertyOf('priceKit', tool)).toMatchObject({
      value: 179,
      source: '179\u202fEUR, kit, 2026-06-30, shop',
    });
    expect(propertyOf('priceKit', tool, { on: '2026-06-29' })).toMatchObject({ value: 219 });
    expect(propertyOf('priceBare', tool)).toMatchObject({ value: 99 });
  });

  it('is the one entered last of two of one day', () => {
    const tool = priced(
      kitPrice({ amount: 199 }),
      kitPrice({ id: 'b', amount: 189, source: 'another shop' }),
    );
    expect(propertyOf('priceKit', tool).value).toBe(189);
  });

  it('is missing before the first day of one', () => {
    expect(propertyOf('priceKit', priced(kitPrice()), { on: '2026-02-28' })).toMatchObject({
      value: null,
      missing: 'The price of the kit is entered for days after 2026-02-28 only.',
    });
  });

  it('is missing in another currency without a rate', () => {
    const tool = priced(kitPrice({ currency: 'GBP' }));
    expect(propertyOf('priceKit', tool)).toMatchObject({
      value: null,
      missing: 'The price is in GBP and no rate to EUR is entered.',
    });
    expect(propertyOf('priceKit', tool, { rates: [rate({ on: '2026-07-01' })] }).missing).toBe(
      'The price is in GBP and no rate to EUR is entered for 2026-06-30 or before.',
    );
    expect(propertyOf('priceKit', tool, { rates: [rate({ currency: 'USD' })] }).value).toBeNull();
  });

  it('is converted by the newest rate up to the day, entered either way round, and says so', () => {
    const tool = priced(kitPrice({ amount: 150, currency: 'GBP' }));
    expect(
      propertyOf('priceKit', tool, { rates: [rate({ rate: 1.1 }), rate({ on: '2026-05-01' })] }),
    ).toMatchObject({
      value: 180,
      source: '150\u202fGBP, kit, 2026-03-01, shop; at 1\u202fGBP = 1.2\u202fEUR (2026-05-01, bank)',
    });
    const inverse = rate({ currency: 'EUR', inCurrency: 'GBP', rate: 0.75, on: '2026-06-01' });
    expect(propertyOf('priceKit', tool, { rates: [inverse, rate(), rate({ on: '2026-07-01' })] }).value).toBe(
      200,
    );
  });
});

describe('claims and ratings', () => {
  it('the newest claim of a kind counts, whatever the other kind says', () => {
    const claims = [
      { id: 'a', kind: 'fastening', torqueNm: 1000, source: 'box', statedOn: '2026-02-01' },
      { id: 'b', kind: 'fastening', torqueNm: 1100, source: 'data sheet', statedOn: '2024-02-01' },
      { id: 'c', kind: 'fastening', torqueNm: 1200, source: 'advertisement', statedOn: null },
      { id: 'd', kind: 'breakaway', torqueNm: 1500, source: 'box', statedOn: null },
    ] as const;
    const tool = demoTool('hollin', 'Hollin H5', { details: { claims: [...claims] } });
    expect(propertyOf('fasteningClaim', tool)).toMatchObject({
      value: 1000,
      source: 'claimed by its maker, box, 2026-02-01',
    });
    expect(propertyOf('breakawayClaim', tool)).toMatchObject({
      value: 1500,
      source: 'claimed by its maker, box',
    });
  });

  it('handling is the mean of the raters, with a standard error from two on and how well that is known', () => {
    const one = demoTool('hollin', 'Hollin H5', { ratings: [rating('Ada', 7.5)] });
    expect(propertyOf('handling', one)).toEqual({
      property: 'handling',
      value: 7.5,
      missing: null,
      source: 'judgement of one rater, Ada',
      standardError: null,
      degreesOfFreedom: 0,
    });
    // By hand: mean 7, standard deviation 1, of three.
    const three = demoTool('hollin', 'Hollin H5', {
      ratings: [rating('A', 6), rating('B', 7), rating('C', 8)],
    });
    const { value, standardError, degreesOfFreedom, source } = propertyOf('handling', three);
    expect(degreesOfFreedom).toBe(2);
    expect(value).toBe(7);
    expect(standardError).toBeCloseTo(1 / Math.sqrt(3), 12);
    expect(source).toBe('judgement, mean of 3 raters');
  });
});
