import type { Equivalent } from './equivalent-mutants.ts';

export const equivalentsOfVerdict: readonly Equivalent[] = [
  {
    file: 'comparison/compare-two',
    why: 'the test and its intervals are null together',
    changes: [
      [
        'ratio: test === null || interval === null ? null : ratioOf(test.difference, interval),',
        'test === null || interval === null',
        '(test === null) && (interval === null)',
      ],
      [
        'levelInterval: test === null || levelInterval === null ? null : ratioOf(test.difference, levelInterval),',
        'test === null || levelInterval === null',
        '(test === null) && (levelInterval === null)',
      ],
      [
        'if (estimate === null || test === null || interval === null) return null;',
        'estimate === null || test === null',
        '(estimate === null) && (test === null)',
      ],
    ],
  },
  {
    file: 'comparison/estimate-difference',
    why: 'turns both sides round, and days and scales have the same share in both',
    changes: [
      [
        'const usedOf = (wanted: string) => estimate.used.filter(({ key }) => key === wanted);',
        'key === wanted',
        '(key) !== (wanted)',
      ],
    ],
  },
  {
    file: 'comparison/estimate-difference',
    why: 'either is as good as certain',
    changes: [['const CERTAIN = 1e9;', '1e9', '1100000000']],
  },
  {
    file: 'comparison/scale-difference',
    why: 'told only where scales do not cancel',
    changes: [
      [
        'export const scalesCancel: ScaleDifference = { variance: 0, isUnknown: false, calibrationCount: 1 };',
        '1',
        '2',
      ],
      [
        'export const scalesCancel: ScaleDifference = { variance: 0, isUnknown: false, calibrationCount: 1 };',
        '1',
        '0',
      ],
    ],
  },
  {
    file: 'comparison/scale-difference',
    why: 'turns the shares of both round, whose difference is squared',
    changes: [
      ['return all.filter((one) => one === id).length / all.length;', 'one === id', '(one) !== (id)'],
    ],
  },
  {
    file: 'comparison/scale-difference',
    why: 'only a tolerance for rounding',
    changes: [
      [
        '.filter((one) => Math.abs(one.apart) > ROUNDING);',
        'Math.abs(one.apart) > ROUNDING',
        '(Math.abs(one.apart)) >= (ROUNDING)',
      ],
      ['const ROUNDING = 1e-9;', '1e-9', '1.1000000000000001e-9'],
    ],
  },
  {
    file: 'comparison/tost',
    why: 'at t = 0 either half is 0.5',
    changes: [['return t > 0 ? twoSided / 2 : 1 - twoSided / 2;', 't > 0', '(t) >= (0)']],
  },
  {
    file: 'comparison/combine-variances',
    why: 'a wider bracket of the same place, or another way to it',
    changes: [
      [
        'while (few - many > 1e-9 * few && atFew > 1e-9 * t && atMany < -1e-9 * t) {',
        'few - many > 1e-9 * few && atFew > 1e-9 * t && atMany < -1e-9 * t',
        '(few - many > 1e-9 * few && atFew > 1e-9 * t) || (atMany < -1e-9 * t)',
      ],
      ['let few = 1 / Math.min(...known.map(({ degreesOfFreedom }) => degreesOfFreedom));', '1', '2'],
      [
        'while (few - many > 1e-9 * few && atFew > 1e-9 * t && atMany < -1e-9 * t) {',
        'few - many',
        '(few) + (many)',
      ],
      [
        'while (few - many > 1e-9 * few && atFew > 1e-9 * t && atMany < -1e-9 * t) {',
        'atMany < -1e-9 * t',
        '(atMany) <= (-1e-9 * t)',
      ],
      [
        'while (few - many > 1e-9 * few && atFew > 1e-9 * t && atMany < -1e-9 * t) {',
        '-1e-9 * t',
        '(-1e-9) / (t)',
      ],
      ['if (isFew === wasFew) {', 'isFew === wasFew', 'true'],
      ['if (isFew) atMany /= 2;', 'atMany /= 2;', ''],
      [
        'return Math.abs(atFew) < Math.abs(atMany) ? 1 / few : 1 / many;',
        'Math.abs(atFew) < Math.abs(atMany)',
        '(Math.abs(atFew)) <= (Math.abs(atMany))',
      ],
    ],
  },
  {
    file: 'comparison/day-to-day',
    why: 'two maps that are kept apart, whichever is called what',
    changes: [
      [
        'const ofKind = isReference ? references : setups;',
        'isReference ? references : setups',
        '(isReference) ? (setups) : (references)',
      ],
    ],
  },
  {
    file: 'comparison/studentized-range',
    why: 'a wider bracket of the same place, or another way to it',
    changes: [
      ['if (isLow) [low, atLow] = [middle, atMiddle];', '[low, atLow] = [middle, atMiddle];', ''],
      ['if (isLow === wasLow) {', 'isLow === wasLow', '(isLow) !== (wasLow)'],
      ['if (isLow) atHigh /= 2;', 'isLow', 'true'],
      ['else atLow /= 2;', 'atLow /= 2;', ''],
      ['[low, atLow] = [high, atHigh];', '[low, atLow] = [high, atHigh];', ''],
      [
        'if (Math.abs(atMiddle) < 1e-11 || high - low < 1e-13) return Math.exp(middle);',
        'high - low < 1e-13',
        '(high - low) <= (1e-13)',
      ],
      ['if (Math.abs(atMiddle) < 1e-11 || high - low < 1e-13) return Math.exp(middle);', '1e-13', '(-1e-13)'],
      ['const MOST_STEPS = 100;', '100', '101'],
      [
        'throw new RangeError(`The range for ${p}, ${K} and ${nu} was not reached.`);',
        'throw new RangeError(`The range for ${p}, ${K} and ${nu} was not reached.`);',
        '',
      ],
    ],
  },
  {
    file: 'comparison/studentized-range',
    why: 'the steps never come to exactly this limit',
    changes: [
      [
        'if (high > LARGEST) throw new RangeError(`The range for ${p}, ${K} and ${nu} is too large.`);',
        'high > LARGEST',
        '(high) >= (LARGEST)',
      ],
    ],
  },
  {
    file: 'comparison/studentized-range',
    why: 'the integrand has died out there',
    changes: [
      ['const REACH = 8;', '8', '9'],
      ['const NODES = Array.from({ length: Math.round((2 * REACH) / STEP) + 1 }, (_, index) => {', '2', '3'],
    ],
  },
  {
    file: 'comparison/power',
    why: 'halving ends at the same number',
    changes: [
      [
        'const middle = Math.floor((tooFew + enough) / 2);',
        'Math.floor((tooFew + enough) / 2)',
        'Math.ceil((tooFew + enough) / 2)',
      ],
    ],
  },
  {
    file: 'comparison/place-field',
    why: 'at exactly this number either way rounds to the same',
    changes: [
      [
        'if (degreesOfFreedom > 60) return 20 * Math.floor(degreesOfFreedom / 20);',
        'degreesOfFreedom > 60',
        '(degreesOfFreedom) >= (60)',
      ],
      [
        'return degreesOfFreedom > 10 ? Math.floor(degreesOfFreedom) : Math.floor(4 * degreesOfFreedom) / 4;',
        'degreesOfFreedom > 10',
        '(degreesOfFreedom) >= (10)',
      ],
    ],
  },
  {
    file: 'comparison/permutation',
    why: 'only a tolerance for rounding',
    changes: [
      [
        'const isAsFar = (sum: number): boolean => Math.abs(sum - share * total) >= found - 1e-12 * (1 + found);',
        '1e-12',
        '1.1000000000000002e-12',
      ],
    ],
  },
  {
    file: 'comparison/reach',
    why: 'only a limit: an interval that ends at exactly 1',
    changes: [
      [
        "const byTime = !doAllReach || ratio === null ? null : ratio.high < 1 ? 'a' : ratio.low > 1 ? 'b' : null;",
        'ratio.high < 1',
        '(ratio.high) <= (1)',
      ],
    ],
  },
  {
    file: 'comparison/place-field',
    why: 'only a limit: a difference of exactly the critical one',
    changes: [
      [
        'const separated = pairs.filter(({ lead, least }) => least !== null && Math.abs(lead) > least);',
        'Math.abs(lead) > least',
        '(Math.abs(lead)) >= (least)',
      ],
    ],
  },
  {
    file: 'comparison/place-field',
    why: 'only remembered, so that it is not computed anew for each pair',
    changes: [['known.set(key, degrees);', 'known.set(key, degrees);', '']],
  },
  {
    file: 'comparison/place-field',
    why: 'only a limit: of 61 degrees of freedom the value of 60 or of 61, which differ by less than a thousandth',
    changes: [['if (degreesOfFreedom > 60) return 20 * Math.floor(degreesOfFreedom / 20);', '60', '61']],
  },
  {
    file: 'comparison/day-to-day',
    why: 'of two that are alike either is the same',
    changes: [
      [
        'else if (startedAt > span.to) span.to = startedAt;',
        'startedAt > span.to',
        '(startedAt) >= (span.to)',
      ],
      [
        'else if (startedAt < span.from) span.from = startedAt;',
        'startedAt < span.from',
        '(startedAt) <= (span.from)',
      ],
      [
        'for (const [sessionId, { from, to }] of [...spans].toSorted(([, a], [, b]) => (a.from < b.from ? -1 : 1))) {',
        'a.from < b.from',
        '(a.from) <= (b.from)',
      ],
    ],
  },
  {
    file: 'comparison/day-to-day',
    why: 'the sort asks only whether one goes before the other',
    changes: [
      [
        'for (const [sessionId, { from, to }] of [...spans].toSorted(([, a], [, b]) => (a.from < b.from ? -1 : 1))) {',
        '1',
        '0',
      ],
    ],
  },
];
