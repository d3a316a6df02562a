import { describe, expect, it } from 'vitest';
import { formatMoney, readMoney } from '../../../../renderer/tools/read-money.ts';

const plainSpaces = (text: string): string => text.replaceAll(/\s/g, ' ');
const amountOf = (typed: string): [number, string] | string => {
  const reading = readMoney(typed, 'EUR');
  return 'problem' in reading ? reading.problem : [reading.amount, reading.currency];
};

describe('an amount of money', () => {
  it('takes its currency before or behind it, and the usual one where there is none', () => {
    expect(amountOf('249')).toEqual([249, 'EUR']);
    expect(amountOf('249 usd')).toEqual([249, 'USD']);
    expect(amountOf('CHF 249.90')).toEqual([249.9, 'CHF']);
    expect(amountOf('249,90 €')).toEqual([249.9, 'EUR']);
    expect(amountOf('£199')).toEqual([199, 'GBP']);
    expect(amountOf('12 345.50 EUR')).toEqual([12345.5, 'EUR']);
  });

  it('refuses a sign that several currencies share instead of taking one of them', () => {
    expect(amountOf('$249')).toMatch(/several currencies/);
    expect(amountOf('249 ¥')).toMatch(/several currencies/);
  });

  it('refuses what can be read in two ways, or is no price', () => {
    expect(amountOf('1,250')).toMatch(/could mean/);
    expect(amountOf('EUR 249 EUR')).toMatch(/twice/);
    for (const typed of ['0', '-5 EUR', 'cheap', '249 EURO', '', '2e9']) {
      expect(typeof amountOf(typed), typed).toBe('string');
    }
  });

  it('is shown with cents unless it is whole, and reads back as what it was', () => {
    expect(plainSpaces(formatMoney(249, 'EUR'))).toBe('249 EUR');
    expect(plainSpaces(formatMoney(249.9, 'EUR'))).toBe('249.90 EUR');
    expect(plainSpaces(formatMoney(12345.678, 'USD'))).toBe('12 345.678 USD');
    for (const amount of [1, 0.05, 249.9, 12345.678, 1e9]) {
      expect(amountOf(formatMoney(amount, 'USD'))).toEqual([amount, 'USD']);
    }
  });
});
