import { describe, expect, it } from 'vitest';
import type { TermMeasure, ToolProperty } from '../../../../shared-lib/standings/scheme-model.ts';
import {
  columnDecimals,
  formatValue,
  type QuantityContext,
  quantityOf,
} from '../../../../renderer/standings/words/measure-quantity.ts';
import { shortNumber } from '../../../../shared-lib/format-significant.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { forward5 } from '../../../helpers/scripted-standings.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');
const metric: QuantityContext = { torque: torqueDisplay('Nm', null), currency: 'EUR' };
const imperial: QuantityContext = { torque: torqueDisplay('ftLbf', null), currency: 'USD' };
const sustained: TermMeasure = { of: 'trial', step: forward5, measure: { figure: 'sustainedTorque' } };
const per = (property: ToolProperty): TermMeasure => ({
  of: 'ratio',
  step: forward5,
  measure: { figure: 'sustainedTorque' },
  per: property,
});
const shown = (measure: TermMeasure, value: number, context: QuantityContext): string => {
  const quantity = quantityOf(measure, context);
  return plain(formatValue(quantity, value, columnDecimals(quantity, [value])));
};

describe('values of a measure', () => {
  it('stand in the chosen unit of torque, alone and in a ratio', () => {
    expect(shown(sustained, 400, metric)).toBe('400 N·m');
    // 400 N·m / 1.355 817 948 331 4 N·m per ft·lbf (NIST SP 811, Appendix B.8).
    expect(shown(sustained, 400, imperial)).toBe('295.0 ft·lbf');
    expect(shown(per('massLoaded'), 160, metric)).toBe('160 N·m/kg');
    expect(shown(per('massLoaded'), 160, imperial)).toBe('118 ft·lbf/kg');
    expect(shown(per('priceKit'), 2.014, imperial)).toBe('1.49 ft·lbf/USD');
  });

  it('are a percentage over a claim, whatever the unit of torque', () => {
    expect(shown(per('fasteningClaim'), 0.8125, metric)).toBe('81.3 %');
    expect(shown(per('breakawayClaim'), 0.8125, imperial)).toBe('81.3 %');
  });

  it.each([
    ['massBare', 1.8, '1.80 kg'],
    ['length', 0.1525, '153 mm'],
    ['priceBare', 199, '199.00 EUR'],
    ['declaredVibration', 12.5, '12.5 m/s²'],
    ['declaredNoise', 98, '98.0 dB'],
    ['handling', 7.25, '7.3 of 10'],
    ['fasteningClaim', 650, '650 N·m'],
  ] as const)('of the property %s are written as %s is', (property, value, text) => {
    expect(shown({ of: 'tool', property }, value, metric)).toBe(text);
  });

  it('of a ratio have three digits at the greatest and the same decimals in the whole column', () => {
    const quantity = quantityOf(per('priceKit'), metric);
    expect(columnDecimals(quantity, [0.0412, 2.5])).toBe(2);
    expect(columnDecimals(quantity, [0.0412])).toBe(4);
    expect(columnDecimals(quantity, [412, 3])).toBe(0);
    expect(columnDecimals(quantity, [])).toBe(1);
  });
});

describe('values that are typed', () => {
  it('are read with the unit behind them or without, comma or point', () => {
    const length = quantityOf({ of: 'tool', property: 'length' }, metric).reader(true);
    expect(length('150')).toMatchObject({ value: 0.15 });
    expect(length('15 cm')).toMatchObject({ value: 0.15 });
    const money = quantityOf({ of: 'tool', property: 'priceKit' }, metric).reader(true);
    expect(money('99,5 eur')).toMatchObject({ value: 99.5 });
    expect(money('-3')).toHaveProperty('problem');
    expect(money('1,250')).toHaveProperty('problem');
    const share = quantityOf(per('fasteningClaim'), metric).reader(false);
    expect(share('80 %')).toMatchObject({ value: 0.8 });
    expect(share('0')).toMatchObject({ value: 0 });
  });

  it('mean the same when they are read again, in either unit', () => {
    for (const context of [metric, imperial]) {
      for (const measure of [sustained, per('massLoaded'), per('fasteningClaim'), per('length')]) {
        for (const value of [0.000_012, 0.5, 12.345_67, 98_765.4]) {
          const quantity = quantityOf(measure, context);
          const reading = quantity.reader(true)(quantity.typed(value));
          if (!('value' in reading)) throw new Error(`${quantity.typed(value)}: ${reading.problem}`);
          expect(Math.abs(reading.value / value - 1)).toBeLessThan(1e-7);
        }
      }
    }
  });

  it('stand in the unit in which they were plainly chosen, and in words in both where only the other is round', () => {
    const torque = (context: QuantityContext) => quantityOf(sustained, context);
    expect(plain(torque(imperial).typed(10))).toBe('10 N·m');
    expect(plain(torque(imperial).typed(100 * 1.355_817_948_331_4))).toBe('100 ft·lbf');
    expect(plain(torque(metric).typed(100 * 1.355_817_948_331_4))).toBe('100 ft·lbf');
    expect(plain(torque(metric).typed(12.345_678_9))).toBe('12.3456789 N·m');
    expect(plain(torque(imperial).inWords(10))).toBe('7.4 ft·lbf (10 N·m)');
    expect(plain(quantityOf(per('massLoaded'), imperial).inWords(10))).toBe('7.3756 ft·lbf/kg');
  });

  it('carry no tail of a conversion', () => {
    expect(plain(shortNumber(7.375_621_492_772_653))).toBe('7.37562149');
    expect(shortNumber(0.1 + 0.2)).toBe('0.3');
    expect(plain(shortNumber(-2.5))).toBe('−2.5');
  });
});
