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
    file: 'signal/measuring-curve',
    why: 'a window has an odd number of samples, so that twice a number is never as many',
    changes: [
      [
        'curve[blockStart + half + i] = 2 * present < windowSamples ? Number.NaN : total / present;',
        '2 * present < windowSamples',
        '(2 * present) <= (windowSamples)',
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
    file: 'trial/evaluate-trial',
    why: 'what is written behind the end of a typed array is dropped',
    changes: [
      [
        'for (let i = 0; i < values.length; i += 1) values[i] = -(values[i] ?? Number.NaN);',
        'i < values.length',
        '(i) <= (values.length)',
      ],
    ],
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
  {
    file: 'signal/even-times',
    why: 'only a limit: a step of exactly 1.6 usual ones is as well a loss as none',
    changes: [
      [
        'if ((steps[i] ?? Number.POSITIVE_INFINITY) <= longestSingle) continue;',
        '(steps[i] ?? Number.POSITIVE_INFINITY) <= longestSingle',
        '((steps[i] ?? Number.POSITIVE_INFINITY)) < (longestSingle)',
      ],
    ],
  },
  {
    file: 'signal/even-times',
    why: 'only a limit: times that scatter by exactly their last digit',
    changes: [
      [
        'if (greatest - least > resolutionS + 16 * Number.EPSILON * farthestS) return null;',
        'greatest - least > resolutionS + 16 * Number.EPSILON * farthestS',
        '(greatest - least) >= (resolutionS + 16 * Number.EPSILON * farthestS)',
      ],
    ],
  },
  {
    file: 'trial/onset-level-of-record',
    why: 'only where the search for the rest begins, which goes down from there by itself',
    changes: [['const CAPACITY_SHARE = 0.01;', '0.01', '0.011000000000000001']],
  },
  {
    file: 'trial/onset-level-of-record',
    why: 'one sample less of a second of rest, at a rate that is not whole',
    changes: [
      [
        'const end = Math.min(Math.floor(start) - windowSamples, Math.round(NOISE_S * nominalRateHz));',
        'Math.round(NOISE_S * nominalRateHz)',
        'Math.floor(NOISE_S * nominalRateHz)',
      ],
    ],
  },
  {
    file: 'trial/blow-rate',
    why: 'one bin of some ten more or less that a line is held to reach',
    changes: [
      ['const around = power.subarray(Math.max(0, bin - halfWidth), bin + halfWidth + 1);', '1', '2'],
      ['const around = power.subarray(Math.max(0, bin - halfWidth), bin + halfWidth + 1);', '1', '0'],
    ],
  },
  {
    file: 'trial/blow-rate',
    why: 'all powers grow by the same factor',
    changes: [
      [
        '(value, index) => value * 0.5 * (1 - Math.cos((2 * Math.PI * (index + 0.5)) / values.length)),',
        '0.5',
        '0.55',
      ],
    ],
  },
  {
    file: 'trial/blow-rate',
    why: 'the weights shifted by one sample of some thousands',
    changes: [
      [
        '(value, index) => value * 0.5 * (1 - Math.cos((2 * Math.PI * (index + 0.5)) / values.length)),',
        'index + 0.5',
        '(index) - (0.5)',
      ],
    ],
  },
  {
    file: 'trial/still-climbing',
    why: 'only a limit: a slope of exactly 1 %/s',
    changes: [
      [
        'const isLevel = (percentPerS: number): boolean => Math.abs(percentPerS) < LEVELLED_OFF_PERCENT_PER_S;',
        'Math.abs(percentPerS) < LEVELLED_OFF_PERCENT_PER_S',
        '(Math.abs(percentPerS)) <= (LEVELLED_OFF_PERCENT_PER_S)',
      ],
    ],
  },
  {
    file: 'trial/fit-saturating-rise',
    why: 'one step more of five hundred',
    changes: [
      ['for (let step = 0; step < MOST_STEPS; step += 1) {', 'step < MOST_STEPS', '(step) <= (MOST_STEPS)'],
    ],
  },
  {
    file: 'trial/fit-saturating-rise',
    why: 'only a tolerance: the steps end when the rate has settled, and the amplitude settles with it',
    changes: [
      [
        'Math.abs(amplitudeChange) <= CONVERGED_SHARE * Math.abs(amplitude) &&',
        'CONVERGED_SHARE * Math.abs(amplitude)',
        '(CONVERGED_SHARE) / (Math.abs(amplitude))',
      ],
    ],
  },
  {
    file: 'trial/fit-saturating-rise',
    why: 'only a limit: a change of exactly the tolerance',
    changes: [
      [
        'Math.abs(rateChange) <= CONVERGED_SHARE * Math.abs(rate);',
        'Math.abs(rateChange) <= CONVERGED_SHARE * Math.abs(rate)',
        '(Math.abs(rateChange)) < (CONVERGED_SHARE * Math.abs(rate))',
      ],
    ],
  },
  {
    file: 'trial/assess-quality',
    why: 'a deviation of 0 is no reason and is never written',
    changes: [
      [
        "`${deviation > 0 ? 'above' : 'below'} its nominal ${formatRate(nominalRateHz)}; more than 2 % deserves a look at the profile.`,",
        'deviation > 0',
        '(deviation) >= (0)',
      ],
    ],
  },
  {
    file: 'trial/find-stuck-reading',
    why: 'what lies behind the end is no count, and ends a stretch as the end does',
    changes: [
      ['for (let i = first; i < counts.length; i += 1) {', 'i < counts.length', '(i) <= (counts.length)'],
    ],
  },
  {
    file: 'trial/find-stuck-reading',
    why: 'an equal count is as great as the greatest',
    changes: [['if (value > greatest) greatest = value;', 'value > greatest', '(value) >= (greatest)']],
  },
  {
    file: 'trial/theil-sen',
    why: 'one of both ranks lies outside of the slopes where the other does',
    changes: [
      [
        'interval: low === undefined || high === undefined ? null : { low, high },',
        'low === undefined || high === undefined',
        '(low === undefined) && (high === undefined)',
      ],
    ],
  },
  {
    file: 'trial/theil-sen',
    why: 'the first point has none before it',
    changes: [['for (let i = 1; i < x.length; i += 1) {', '1', '0']],
  },
];
