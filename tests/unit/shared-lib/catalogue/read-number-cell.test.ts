import { describe, expect, it } from 'vitest';
import {
  findDecimalMark,
  readPlainCell,
  readQuantityCell,
} from '../../../../shared-lib/catalogue/read-number-cell.ts';

describe('the decimal mark of a file', () => {
  it.each([
    [['1,5'], 'comma'],
    [['0,250'], 'comma'],
    [['1250,125'], 'comma'],
    [['1 250,5 lb'], 'comma'],
    [['1.5'], 'point'],
    [['0.250 kg'], 'point'],
    [['1,5', '2.5'], 'both'],
    [['1,250', '1.250', '12', ''], null],
    [['1,250.5'], null],
  ])('of %j is %s', (cells, mark) => {
    expect(findDecimalMark(cells)).toBe(mark);
  });
});

describe('a number in a cell', () => {
  it('is read with comma or point, with a unit of its own or that of its column', () => {
    expect(readQuantityCell('1,5', 'mass', 'kg', null)).toEqual({ value: 1.5 });
    expect(readQuantityCell('180 mm', 'length', 'm', null)).toEqual({ value: 0.18 });
    expect(readQuantityCell('180', 'length', 'mm', null)).toEqual({ value: 0.18 });
    expect(readQuantityCell('1e3', 'torque', 'Nm', null)).toEqual({ value: 1000 });
    const pounds = readQuantityCell('4 lb', 'mass', 'kg', null);
    // 1 lb = 0.45359237 kg, exactly (international pound of 1959).
    expect('value' in pounds && pounds.value).toBeCloseTo(4 * 0.45359237, 12);
  });

  it('is refused in a unit of another kind, which is named with those that would do', () => {
    expect(readQuantityCell('1200 kg', 'torque', 'Nm', null)).toMatchObject({
      problem: expect.stringMatching(/“kg” is not a unit known here.*N·m/),
    });
  });

  it('that could mean two is refused, unless the other numbers of the file show which', () => {
    expect(readQuantityCell('1,250 kg', 'mass', 'kg', null)).toMatchObject({
      problem: expect.stringContaining('could mean 1250 or 1.250'),
    });
    expect(readQuantityCell('1,250 kg', 'mass', 'kg', 'comma')).toEqual({ value: 1.25 });
    expect(readQuantityCell('1,250 kg', 'mass', 'kg', 'both')).toHaveProperty('problem');
    expect(readQuantityCell('1.250', 'mass', 'kg', 'point')).toEqual({ value: 1.25 });
    expect(readQuantityCell('1.250', 'mass', 'kg', null)).toEqual({ value: 1.25 });
    expect(readQuantityCell('1.250', 'mass', 'kg', 'comma')).toMatchObject({
      problem: expect.stringContaining('could mean 1250 or 1.25, since this file has decimal commas'),
    });
  });

  it('without a unit takes none', () => {
    expect(readPlainCell('199,00', null)).toEqual({ value: 199 });
    expect(readPlainCell('1 299.50', null)).toEqual({ value: 1299.5 });
    expect(readPlainCell('98 dB(A)', null, ['db(a)'])).toEqual({ value: 98 });
    expect(readPlainCell('199 €', null)).toMatchObject({
      problem: expect.stringContaining('“€” does not belong'),
    });
    expect(readPlainCell('199 %', null)).toHaveProperty('problem');
    expect(readPlainCell('€ 199', null)).toHaveProperty('problem');
    expect(readPlainCell('1.299,00', null)).toHaveProperty('problem');
    expect(readPlainCell('cheap', null)).toHaveProperty('problem');
  });
});
