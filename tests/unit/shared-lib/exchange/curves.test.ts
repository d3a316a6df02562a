import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { guessMapping } from '../../../../shared-lib/exchange/curves/guess-mapping.ts';
import { createCurveReader, type ReadCurves } from '../../../../shared-lib/exchange/curves/read-curves.ts';
import { curveAsTrial, torqueOfCurve } from '../../../../shared-lib/exchange/curves/curve-trial.ts';
import type { CurveMapping } from '../../../../shared-lib/exchange/exchange-requests.ts';

const mapping: CurveMapping = {
  separator: ',',
  decimal: '.',
  hasHeader: true,
  timeColumn: 0,
  timeUnit: 's',
  sampleRateHz: null,
  torqueColumns: [1],
  torqueUnit: 'Nm',
  decimals: null,
};

/** Rows of plain cells, the first one on line 1. */
function read(rows: readonly string[], others: Partial<CurveMapping> = {}): ReadCurves {
  const chosen = { ...mapping, ...others };
  const reader = createCurveReader(chosen);
  rows.forEach((row, index) => {
    reader.takeRow(row.split(chosen.separator), index + 1);
  });
  return reader.finish();
}

/** Lines of `time_s,torque_nm` at 1000 Sa/s. */
function lines(torques: readonly string[]): string[] {
  return ['time_s,torque_nm', ...torques.map((torque, index) => `${(index / 1000).toFixed(3)},${torque}`)];
}

describe('guessing what the columns of a file mean', () => {
  it.each<[string, string[], Partial<CurveMapping>]>([
    ['commas and points', ['time_s,torque_nm', '0.000,0.1', '0.001,0.2', '0.002,0.4'], {}],
    [
      'semicolons and decimal commas',
      ['Zeit (s);Drehmoment (Nm)', '0,000;0,1', '0,001;0,2'],
      { separator: ';', decimal: ',' },
    ],
    ['semicolons and points', ['t;torque', '0.000;0.1', '0.001;0.2'], { separator: ';' }],
    [
      'tabs, milliseconds and foot-pounds',
      ['Time [ms]\tTool A (ft·lbf)\tTool B (ft·lbf)', '0\t1.5\t2.5', '1\t1.6\t2.6'],
      { separator: '\t', timeUnit: 'ms', torqueColumns: [1, 2], torqueUnit: 'ftLbf' },
    ],
    [
      'no header, with rising times',
      ['0.000,0.1', '0.001,0.3', '0.002,0.2'],
      { hasHeader: false, torqueColumns: [1] },
    ],
    [
      'one column of torque alone, which says nothing of time',
      ['torque_nm', '0.1', '0.3', '0.2'],
      { separator: ';', timeColumn: null, torqueColumns: [0] },
    ],
    [
      'the curves that this program writes for spreadsheets: the raw torque, not the measuring curve',
      ['time_s;torque_nm;measuring_torque_nm', '-1,0;0,5;', '-0,999;0,4;0,45'],
      { separator: ';', decimal: ',', torqueColumns: [1] },
    ],
    [
      'decimal commas in quotation marks between commas',
      ['time_s,torque_nm', '"0,000","0,1"', '"0,001","0,2"'],
      { decimal: ',' },
    ],
  ])('reads %s', (_name, file, expected) => {
    expect(guessMapping(file)).toEqual({ ...mapping, ...expected });
  });

  it('makes something of any text, so that a person can put it right', () => {
    fc.assert(
      fc.property(fc.array(fc.string()), (file) => {
        expect(guessMapping(file).torqueColumns.length).toBeGreaterThan(0);
      }),
    );
  });
});

describe('reading curves', () => {
  it('keeps the very digits of the file as whole numbers', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -2_147_483_647, max: 2_147_483_647 }), { minLength: 2, maxLength: 20 }),
        fc.integer({ min: 0, max: 9 }),
        (numbers, decimals) => {
          // At least one number has its last digit, or fewer would be kept, and the counts be others.
          const written = [...numbers, 1].map((number) => {
            const digits = String(Math.abs(number)).padStart(decimals + 1, '0');
            const cut = digits.length - decimals;
            return `${number < 0 ? '-' : ''}${digits.slice(0, cut)}${decimals === 0 ? '' : `.${digits.slice(cut)}`}`;
          });
          const [curve] = read(lines(written)).curves;
          expect([...(curve?.counts ?? [])]).toEqual([...numbers, 1].map((number) => number + 0));
          expect(curve?.gainNmPerCount).toBe(1 / 10 ** decimals);
          const torqueNm = curve === undefined ? [] : [...torqueOfCurve(curve)];
          torqueNm.forEach((value, index) => {
            const given = Number(written[index]);
            expect(Math.abs(value - given)).toBeLessThanOrEqual(2 * Number.EPSILON * Math.abs(given));
          });
        },
      ),
    );
  });

  it('takes a line that is missing on the even clock, and an empty cell, for lost samples', () => {
    const file = lines(['1.5', '1.6', '', '1.8', '1.9', '2.0', '2.1']);
    file.splice(5, 1);
    const { curves, problems } = read(file);
    expect(problems).toEqual([]);
    expect(curves[0]).toMatchObject({
      sampleRateHz: 1000,
      gaps: [
        { offset: 2, length: 1 },
        { offset: 4, length: 1 },
      ],
    });
    expect([...(curves[0]?.counts ?? [])]).toEqual([15, 16, 0, 18, 0, 20, 21]);
  });

  it('ends a curve where its column ends, each column at its own length', () => {
    const { curves } = read(['t,a,b', '0,1,', '0.001,2,5', '0.002,3,6', '0.003,,7'], {
      torqueColumns: [1, 2],
    });
    expect(curves.map(({ label, counts, gaps }) => [label, [...counts], gaps])).toEqual([
      ['a', [1, 2, 3], []],
      ['b', [5, 6, 7], []],
    ]);
  });

  it('reads milliseconds, foot-pounds, and lines at a stated rate', () => {
    expect(read(['t,a', '0,1', '2,2', '4,3'], { timeUnit: 'ms' }).curves[0]?.sampleRateHz).toBe(500);
    const [curve] = read(['a', '1.5', '2.5'], {
      timeColumn: null,
      torqueColumns: [0],
      sampleRateHz: 80,
      torqueUnit: 'ftLbf',
    }).curves;
    expect(curve?.sampleRateHz).toBe(80);
    // 1 ft·lbf is 1.3558179483314004 N·m (NIST SP 811, appendix B).
    expect(curve === undefined ? [] : [...torqueOfCurve(curve)][0]).toBeCloseTo(1.5 * 1.3558179483314004, 12);
  });

  it.each<[string, string[], Partial<CurveMapping>, RegExp]>([
    ['a word among the numbers', lines(['1', 'n/a', '3']), {}, /^Line 3: “n\/a” is not a torque/],
    [
      'a decimal comma where points are read',
      lines(['1', '2']).map((line) => line.replace(',2', ';2,5')),
      { separator: ';' },
      /Line 2/,
    ],
    [
      'times that run backwards',
      ['t,a', '0,1', '0.002,2', '0.001,3'],
      {},
      /^Line 4: the time runs backwards/,
    ],
    [
      'an uneven time axis',
      ['t,a', ...Array.from({ length: 40 }, (_, index) => `${index === 30 ? 30.4 : index},1`)],
      { timeUnit: 'ms' },
      /^Line 32: the times are uneven/,
    ],
    ['two samples at one time', ['t,a', '0,1', '0.001,2', '0.001,3'], {}, /^Line 4: the time is the same/],
    ['a column that is not there', lines(['1', '2']), { torqueColumns: [4] }, /column 5 was asked for/],
    [
      'a column that is time and torque at once',
      lines(['1', '2']),
      { torqueColumns: [0] },
      /time and torque at once/,
    ],
    ['lines without a rate', lines(['1', '2']), { timeColumn: null }, /how many samples a second/],
    ['too few samples a second', ['t,a', '0,1', '1,2', '2,3'], {}, /under 36 Sa\/s/],
    ['a single line', lines(['1']), {}, /at least two lines/],
    ['an empty column', ['t,a,b', '0,1,', '0.001,2,'], { torqueColumns: [2] }, /“b” has no curve/],
    ['more digits than fit', lines(['494.38943630335024', '1']), {}, /^Line 2: .*Choose to keep 6 of them/],
  ])('names what is wrong: %s', (_name, file, others, expected) => {
    const { curves, problems } = read(file, others);
    expect(problems.join('\n')).toMatch(expected);
    expect(curves).toEqual([]);
  });

  it('rounds only where that was chosen, and says so', () => {
    const file = lines(['494.38943630335024', '-0.0000004']);
    const { curves, remarks } = read(file, { decimals: 6 });
    expect([...(curves[0]?.counts ?? [])]).toEqual([494_389_436, 0]);
    expect(remarks).toEqual([expect.stringMatching(/rounded to 6 digits/)]);
    expect(read(lines(['1.5', '2.5']), { decimals: 6 }).remarks).toEqual([]);
  });

  it('tells the first ten problems, and how many more there are', () => {
    const { problems } = read(lines(Array.from({ length: 30 }, () => 'x')));
    expect(problems).toHaveLength(11);
    expect(problems.at(-1)).toBe('And 20 more like these.');
  });
});

describe('a curve as a trial', () => {
  const rises = (sign: number): string[] =>
    Array.from({ length: 4000 }, (_, index) =>
      (sign * (index < 1000 ? 0 : 300 * (1 - Math.exp(-(index - 1000) / 400)))).toFixed(3),
    );
  const curveOf = (sign: number): ReadCurves['curves'][number] => {
    const [curve] = read(lines(rises(sign))).curves;
    if (curve === undefined) throw new Error('It was not read');
    return curve;
  };

  it('begins where its torque leaves its rest, and lasts to the last half second of the record', () => {
    expect(curveAsTrial(curveOf(1), { kind: 'tighten', direction: 'forward', plannedS: null })).toMatchObject(
      {
        senseSign: 1,
        plannedS: 3,
        onsetLevelNm: expect.closeTo(2.998, 2),
        beginsUnderTorque: false,
      },
    );
    const trial = curveAsTrial(curveOf(1), { kind: 'tighten', direction: 'forward', plannedS: null });
    // 1 % of 300 N·m is passed 4 ms after the rise begins; half a window (50 ms) looks ahead.
    expect('onsetSlot' in trial ? trial.onsetSlot : 0).toBeGreaterThan(950);
    expect('onsetSlot' in trial ? trial.onsetSlot : 0).toBeLessThan(1010);
  });

  it('takes a reverse pull in either sign, and remembers which', () => {
    const reverse = { kind: 'tighten', direction: 'reverse', plannedS: null } as const;
    expect(curveAsTrial(curveOf(-1), reverse)).toMatchObject({ senseSign: 1 });
    expect(curveAsTrial(curveOf(1), reverse)).toMatchObject({ senseSign: -1 });
  });

  it('refuses a negative torque as a forward pull, a curve without torque, and one that is over at once', () => {
    const forward = { kind: 'tighten', direction: 'forward', plannedS: null } as const;
    expect(curveAsTrial(curveOf(-1), forward)).toMatchObject({ problem: expect.stringMatching(/negative/) });
    const [still] = read(lines(Array.from({ length: 500 }, () => '0.0'))).curves;
    const [short] = read(lines(rises(1).slice(0, 1200))).curves;
    if (still === undefined || short === undefined) throw new Error('They were not read');
    expect(curveAsTrial(still, forward)).toMatchObject({
      problem: expect.stringMatching(/no torque begins/),
    });
    expect(curveAsTrial(short, forward)).toMatchObject({
      problem: expect.stringMatching(/goes on for 0\.2/),
    });
  });

  it('says of a record that begins under torque that its time counts from there', () => {
    const [cut] = read(lines(rises(1).slice(1400))).curves;
    if (cut === undefined) throw new Error('It was not read');
    expect(curveAsTrial(cut, { kind: 'tighten', direction: 'forward', plannedS: null })).toMatchObject({
      beginsUnderTorque: true,
      onsetSlot: 0,
    });
  });
});
