import type { Equivalent } from './equivalent-mutants.ts';

export const equivalentsOfMeasures: readonly Equivalent[] = [
  {
    file: 'signal/measuring-curve',
    why: 'one more block, which has no window in the record',
    changes: [
      [
        'for (let blockStart = -half; blockStart + half < n; blockStart += windowSamples) {',
        'blockStart + half < n',
        '(blockStart + half) <= (n)',
      ],
    ],
  },
  {
    file: 'signal/even-times',
    why: 'the first slot comes out as 0 either way: a list of whole numbers has no NaN',
    changes: [['for (let i = 1; i < n; i += 1) {', '1', '0']],
  },
  {
    file: 'signal/fit-sample-clock',
    why: 'about whichever value the mean is taken, it is the same but for rounding',
    changes: [['const first = marks[0];', '0', '1']],
  },
  {
    file: 'trial/find-onset',
    why: 'what lies behind the end counts as lost',
    changes: [
      [
        'for (let i = 0; i < measuringNm.length; i += 1) {',
        'i < measuringNm.length',
        '(i) <= (measuringNm.length)',
      ],
    ],
  },
  {
    file: 'trial/impulse',
    why: 'what lies behind the end counts as lost',
    changes: [
      [
        'for (let i = before + 1; i < rawNm.length && before < to; i += 1) {',
        'i < rawNm.length',
        '(i) <= (rawNm.length)',
      ],
    ],
  },
  {
    file: 'trial/impulse',
    why: 'one more interval, of no length',
    changes: [
      [
        'for (let i = before + 1; i < rawNm.length && before < to; i += 1) {',
        'before < to',
        '(before) <= (to)',
      ],
    ],
  },
  {
    file: 'trial/rise',
    why: 'only where the search for the best fit begins, which ends at the same place',
    changes: [
      [
        'const reached = torqueNm.findIndex((value) => value >= (1 - Math.exp(-1)) * amplitude);',
        'value >= (1 - Math.exp(-1)) * amplitude',
        '(value) > ((1 - Math.exp(-1)) * amplitude)',
      ],
      ['const reached = torqueNm.findIndex((value) => value >= (1 - Math.exp(-1)) * amplitude);', '-1', '1'],
      ['const reached = torqueNm.findIndex((value) => value >= (1 - Math.exp(-1)) * amplitude);', '1', '2'],
      ['return { amplitude, rate: 1 / Math.max(timesS[reached] ?? 0, timesS[1] ?? 1) };', '1', '2'],
      ['return { amplitude, rate: 1 / Math.max(timesS[reached] ?? 0, timesS[1] ?? 1) };', '1', '0'],
    ],
  },
  {
    file: 'trial/blow-rate',
    why: 'turns every value over, which leaves its power as it is',
    changes: [['count += 1;', 'count += 1', 'count -= 1']],
  },
  {
    file: 'trial/theil-sen',
    why: 'only room for the slopes, of which no more is used than was counted',
    changes: [
      [
        'const slopes = new Float64Array((x.length * (x.length - 1)) / 2);',
        '(x.length * (x.length - 1)) / 2',
        '((x.length * (x.length - 1))) * (2)',
      ],
      [
        'const slopes = new Float64Array((x.length * (x.length - 1)) / 2);',
        'x.length - 1',
        '(x.length) + (1)',
      ],
      ['const slopes = new Float64Array((x.length * (x.length - 1)) / 2);', '1', '0'],
    ],
  },
  {
    file: 'trial/theil-sen',
    why: 'a point has no slope to itself and is left out',
    changes: [['for (let j = 0; j < i; j += 1) {', 'j < i', '(j) <= (i)']],
  },
  {
    file: 'trial/theil-sen',
    why: 'less than 1 counts as 1',
    changes: [
      ['export function theilSen(x: Float64Array, y: Float64Array, sharing = 1): TheilSenSlope {', '1', '0'],
    ],
  },
  {
    file: 'trial/theil-sen',
    why: 'the correction for a value that stands once is 0',
    changes: [['return [...counts.values()].filter((count) => count > 1);', 'count > 1', '(count) >= (1)']],
  },
  {
    file: 'trial/still-climbing',
    why: 'the last window is looked at once more',
    changes: [['for (let step = 1; earliestS > 0; step += 1) {', '1', '0']],
  },
  {
    file: 'trial/measures',
    why: 'of equal values either gives the same least',
    changes: [
      [
        'while (back > front && (values[candidates[back - 1] ?? 0] ?? Number.NaN) >= value) back -= 1;',
        '(values[candidates[back - 1] ?? 0] ?? Number.NaN) >= value',
        '((values[candidates[back - 1] ?? 0] ?? Number.NaN)) > (value)',
      ],
    ],
  },
];
