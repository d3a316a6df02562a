import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  formatDuration,
  formatNumber,
  formatQuantity,
  formatRate,
  formatTorque,
  formatTorqueInBothUnits,
  fromOwnUnit,
  parseQuantity,
  toOwnUnit,
  unitLabel,
  withUnitNamed,
  type QuantityKind,
  type UnitId,
} from '../../../../shared-lib/format-quantity.ts';
import { NEWTON_METRES_PER_FOOT_POUND_FORCE } from '../../../../shared-lib/quantities.ts';
import reference from '../../../fixtures/reference-values/units.json' with { type: 'json' };

const valueOf = (parsed: ReturnType<typeof parseQuantity>): number => {
  if ('problem' in parsed) throw new Error(parsed.problem);
  return parsed.value;
};
const problemOf = (parsed: ReturnType<typeof parseQuantity>): string => {
  if (!('problem' in parsed)) throw new Error(`was read as ${parsed.value} ${parsed.unit}`);
  return parsed.problem;
};

describe('display', () => {
  it('shows torque in either unit with a thin space and fixed decimals', () => {
    expect(formatTorque(338.9544870828501, 'Nm', 1)).toBe('339.0\u202fN·m');
    expect(formatTorque(338.9544870828501, 'ftLbf', 1)).toBe('250.0\u202fft·lbf');
    expect(formatTorque(1355.8, 'Nm', 0)).toBe('1356\u202fN·m');
    expect(formatTorqueInBothUnits(338.9544870828501, 0)).toBe('339\u202fN·m (250\u202fft·lbf)');
  });

  it('uses a true minus and gives zero no sign', () => {
    expect(formatNumber(-2.25, 1)).toBe('\u22122.3');
    expect(formatNumber(-0.04, 1)).toBe('0.0');
    expect(formatNumber(-0, 0)).toBe('0');
  });

  it('groups digits by three from five digits on', () => {
    expect(formatNumber(9999, 0)).toBe('9999');
    expect(formatNumber(1_234_567.891, 2)).toBe('1\u202f234\u202f567.89');
    expect(formatRate(40_000)).toBe('40\u202f000\u202fSa/s');
    expect(formatRate(79.984, 2)).toBe('79.98\u202fSa/s');
  });

  it('shows a dash where there is no number', () => {
    expect(formatTorque(Number.NaN, 'Nm', 1)).toBe('–\u202fN·m');
    expect(formatNumber(Number.POSITIVE_INFINITY, 1)).toBe('–');
  });

  it.each([
    [0, 2, '0.00\u202fs'],
    [119.94, 1, '119.9\u202fs'],
    [125, 1, '2\u202fmin 05\u202fs'],
    [7199.6, 1, '2\u202fh 00\u202fmin'],
    [-200, 1, '\u22123\u202fmin 20\u202fs'],
    [12_000, 1, '3\u202fh 20\u202fmin'],
  ])('shows %d s with %d decimals as %s', (durationS, decimals, text) => {
    expect(formatDuration(durationS, decimals)).toBe(text);
  });

  it('keeps a degree sign close to its number', () => {
    expect(formatQuantity(2.5, 'deg', 1)).toBe('2.5°');
  });
});

describe('a typed number whose unit is taken for granted', () => {
  it('means the same in another unit once its own is behind it', () => {
    const named = withUnitNamed(' 1,5', 'torque', 'ftLbf');
    expect(named.replace('\u202f', ' ')).toBe('1,5 ft·lbf');
    expect(parseQuantity(named, 'torque', 'Nm')).toEqual(parseQuantity('1,5', 'torque', 'ftLbf'));
  });

  it.each(['150 ft·lbf', '200 N.m', '', '  ', 'ten', '1,250', '3 stone', '1e400'])(
    'stays as it was typed where it has a unit or cannot be read: “%s”',
    (typed) => {
      expect(withUnitNamed(typed, 'torque', 'Nm')).toBe(typed);
    },
  );
});

describe('parseQuantity', () => {
  it.each<[string, QuantityKind, UnitId, number]>([
    ['45 lb', 'mass', 'kg', 20.41165665],
    ['6,3 bar', 'pressure', 'kPa', 6300],
    ['90 psi', 'pressure', 'kPa', 6205.281563851525],
    ['0.5 m', 'length', 'mm', 0.5],
    ['250 ft·lbf', 'torque', 'Nm', 338.9544870828501],
    ['1,5', 'torque', 'Nm', 1.5],
    ['1,5', 'torque', 'ftLbf', 1.5 * NEWTON_METRES_PER_FOOT_POUND_FORCE],
    ['0,125m', 'length', 'mm', 0.125],
    ['24 in', 'length', 'm', 0.6096],
    ['2ft', 'length', 'm', 0.6096],
    ['24"', 'length', 'm', 0.6096],
    ['500 mm', 'length', 'm', 0.5],
    ['45 g', 'mass', 'kg', 0.045],
    ['100 FT-LBS', 'torque', 'Nm', 135.58179483314004],
    ['120 in-lb', 'torque', 'Nm', 13.558179483314005],
    ['12 N.m', 'torque', 'ftLbf', 12],
    ['12 N m', 'torque', 'ftLbf', 12],
    ['40 000 Sa/s', 'sampleRate', 'SaPerS', 40_000],
    ['1.2 kSa/s', 'sampleRate', 'SaPerS', 1200],
    ['−3°', 'angle', 'deg', -3],
    ['1.5 min', 'duration', 's', 90],
    ['7.85 g/cm³', 'density', 'kgPerM3', 7850],
    ['9.81234 m/s2', 'acceleration', 'mPerS2', 9.81234],
    ['1e3 kg', 'mass', 'kg', 1000],
    ['.5 %', 'percent', 'percent', 0.5],
  ])('reads "%s" as %s (default %s): %d', (text, kind, unit, expected) => {
    expect(valueOf(parseQuantity(text, kind, unit))).toBeCloseTo(expected, 12);
  });

  it('says which unit it read', () => {
    expect(parseQuantity('3', 'torque', 'ftLbf')).toMatchObject({ unit: 'ftLbf' });
    expect(parseQuantity('3 Nm', 'torque', 'ftLbf')).toEqual({ value: 3, unit: 'Nm' });
  });

  it('does not guess between a decimal comma and a thousands comma', () => {
    expect(problemOf(parseQuantity('1,250 Nm', 'torque', 'Nm'))).toBe(
      '“1,250” could mean 1250 or 1.250. Write one of these.',
    );
    expect(valueOf(parseQuantity('0,250', 'length', 'm'))).toBe(0.25);
    expect(problemOf(parseQuantity('1,234.5', 'torque', 'Nm'))).toContain('more than one comma or point');
  });

  it.each<[string, QuantityKind, UnitId, string]>([
    ['', 'mass', 'kg', 'Type a number.'],
    ['  ', 'mass', 'kg', 'Type a number.'],
    ['lb', 'mass', 'kg', '“lb” does not begin with a number.'],
    ['3 stone', 'mass', 'kg', '“stone” is not a unit known here. Use kg, g or lb.'],
    ['3 m', 'mass', 'kg', '“m” is not a unit known here. Use kg, g or lb.'],
    ['5 ft 3 in', 'length', 'm', '“ft 3 in” is not a unit known here. Use m, cm, mm, in or ft.'],
    ['3 N', 'acceleration', 'mPerS2', '“N” is not a unit known here. Use m/s².'],
    ['1 00', 'mass', 'kg', '“1 00” is not a number.'],
    ['.', 'mass', 'kg', '“.” is not a number.'],
    ['1e400', 'mass', 'kg', '“1e400” is too large a number.'],
    ['Infinity', 'mass', 'kg', '“Infinity” does not begin with a number.'],
  ])('refuses "%s" as %s (default %s): %s', (text, kind, unit, problem) => {
    expect(problemOf(parseQuantity(text, kind, unit))).toBe(problem);
  });

  it('reads back whatever is displayed, within half of the last decimal', () => {
    const shown = fc.constantFrom<[QuantityKind, UnitId][]>(
      ['torque', 'Nm'],
      ['torque', 'ftLbf'],
      ['torque', 'inLbf'],
      ['torque', 'kgfm'],
      ['mass', 'kg'],
      ['mass', 'g'],
      ['mass', 'lb'],
      ['length', 'm'],
      ['length', 'cm'],
      ['length', 'mm'],
      ['length', 'in'],
      ['length', 'ft'],
      ['angle', 'deg'],
      ['duration', 's'],
      ['duration', 'ms'],
      ['duration', 'min'],
      ['density', 'kgPerM3'],
      ['density', 'gPerCm3'],
      ['acceleration', 'mPerS2'],
      ['sampleRate', 'SaPerS'],
      ['sampleRate', 'kSaPerS'],
      ['percent', 'percent'],
    );
    fc.assert(
      fc.property(
        shown,
        fc.double({ min: -1e9, max: 1e9, noNaN: true }),
        fc.nat(6),
        ([kind, unit], value, decimals) => {
          const read = parseQuantity(formatQuantity(toOwnUnit(value, unit), unit, decimals), kind, unit);
          expect(read).toMatchObject({ unit });
          const difference = Math.abs(fromOwnUnit(valueOf(read), unit) - value);
          expect(difference).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-15 * Math.abs(value) * 4);
        },
      ),
    );
  });

  it('converts as the exact definitions say', () => {
    for (const { ftLbf, torqueNm } of reference.examples) {
      expect(toOwnUnit(ftLbf, 'ftLbf') / torqueNm).toBeCloseTo(1, 15);
    }
    expect(unitLabel('ftLbf')).toBe('ft·lbf');
  });
});
