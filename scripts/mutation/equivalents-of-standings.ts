import type { Equivalent } from './equivalent-mutants.ts';

export const equivalentsOfStandings: readonly Equivalent[] = [
  {
    file: 'standings/score-terms',
    why: 'a sum that small is 0 already, or the size is not zero',
    changes: [
      [
        'return Math.abs(sum) <= 1e-12 * size ? 0 : sum;',
        'Math.abs(sum) <= 1e-12 * size',
        '(Math.abs(sum)) < (1e-12 * size)',
      ],
    ],
  },
  {
    file: 'standings/score-terms',
    why: 'what is written behind the end of a list of numbers is dropped',
    changes: [
      ['for (let k = 0; k < count; k += 1) {', 'k < count', '(k) <= (count)'],
      ['for (let k = 0; k < out.length; k += 1) {', 'k < out.length', '(k) <= (out.length)'],
    ],
  },
  {
    file: 'standings/score-terms',
    why: 'at the cap both are the same',
    changes: [
      ['out[k] = at(out, k) + (points > most ? most : points);', 'points > most', '(points) >= (most)'],
    ],
  },
  {
    file: 'standings/score-terms',
    why: 'the divisors of a plain sum are 1',
    changes: [['if (scheme.version.isNormalised) {', 'scheme.version.isNormalised', 'true']],
  },
  {
    file: 'standings/compute-standings',
    why: 'only asked for cells that are there',
    changes: [
      [
        'if (bound === undefined || subject === undefined || columns === undefined) {',
        'bound === undefined || subject === undefined || columns === undefined',
        '(bound === undefined || subject === undefined) && (columns === undefined)',
      ],
      [
        'if (bound === undefined || subject === undefined || columns === undefined) {',
        'bound === undefined || subject === undefined || columns === undefined',
        'false',
      ],
      [
        'if (bound === undefined || subject === undefined || columns === undefined) {',
        'bound === undefined || subject === undefined',
        '(bound === undefined) && (subject === undefined)',
      ],
      [
        "throw new RangeError('There is no such cell.');",
        "throw new RangeError('There is no such cell.');",
        '',
      ],
    ],
  },
  {
    file: 'standings/draw-plan',
    why: 'any number below zero stands for none, and any above it for later in the order',
    changes: [
      ['const dayChi = dayToDay === null ? -1 : addChi(dayToDay.degreesOfFreedom);', '1', '2'],
      ['.sort(([a], [b]) => (a < b ? -1 : 1));', '1', '2'],
    ],
  },
  {
    file: 'standings/draw-plan',
    why: 'only gives the turn to others for a moment',
    changes: [['yield;', 'yield;', '']],
  },
  {
    file: 'standings/draw-totals',
    why: 'one weight alone is 1, and to mix by it changes nothing',
    changes: [['return weights.length > 1;', 'weights.length > 1', '(weights.length) >= (1)']],
  },
  {
    file: 'standings/draw-totals',
    why: 'what is written behind the end of a list of numbers is dropped, and what is not there is left out',
    changes: [
      ['for (let k = 0; k < count; k += 1) {', 'k < count', '(k) <= (count)'],
      [
        'for (let row = 0; row < plan.weights.length; row += 1) {',
        'row < plan.weights.length',
        '(row) <= (plan.weights.length)',
      ],
    ],
  },
  {
    file: 'standings/draw-totals',
    why: 'nothing is added by a weight of zero, and each weight has its draws',
    changes: [
      [
        'if (weight === 0 || normals === undefined) continue;',
        'weight === 0 || normals === undefined',
        'false',
      ],
      [
        'if (weight === 0 || normals === undefined) continue;',
        'weight === 0 || normals === undefined',
        '(weight === 0) && (normals === undefined)',
      ],
      ['if (weight === 0 || normals === undefined) continue;', 'continue;', ''],
    ],
  },
  {
    file: 'standings/draw-totals',
    why: 'series and library agree to 2e-12 there',
    changes: [
      ['if (!(x > -0.3 && x < 0.3)) return Math.exp(x);', '-0.3', '0.3'],
      ['if (!(x > -0.3 && x < 0.3)) return Math.exp(x);', 'x < 0.3', '(x) <= (0.3)'],
      ['if (!(x > -0.3 && x < 0.3)) return Math.exp(x);', '0.3', '0.33'],
      ['if (!(x > -0.3 && x < 0.3)) return Math.exp(x);', '0.3', '(-0.3)'],
      [
        'const high = 1 / 720 + x * (1 / 5040) + square * (1 / 40320 + x * (1 / 362880));',
        '362880',
        '399168.00000000006',
      ],
    ],
  },
  {
    file: 'standings/place-draws',
    why: 'as often a turn for others',
    changes: [['const DRAWS_AT_ONCE = 10;', '10', '(-10)']],
  },
  {
    file: 'standings/place-draws',
    why: 'nobody asks whether one could be told apart from itself',
    changes: [['for (let j = i + 1; j < count; j += 1) {', '1', '0']],
  },
  {
    file: 'standings/place-draws',
    why: 'there for the compiler, which does not know that the list is long enough',
    changes: [
      ['isOpen[i * count + j] = limits.canTellApart(places[i] ?? -1, places[j] ?? -1) ? 1 : 0;', '-1', '1'],
      ['isOpen[i * count + j] = limits.canTellApart(places[i] ?? -1, places[j] ?? -1) ? 1 : 0;', '1', '2'],
      ['isOpen[i * count + j] = limits.canTellApart(places[i] ?? -1, places[j] ?? -1) ? 1 : 0;', '1', '0'],
    ],
  },
  {
    file: 'standings/place-draws',
    why: 'what is the same in all draws cancels in their standard deviation',
    changes: [
      [
        'const plainDeviation = withPlain ? (draw.plainTotals[k] ?? Number.NaN) - (observed[i] ?? 0) : 0;',
        '(draw.plainTotals[k] ?? Number.NaN) - (observed[i] ?? 0)',
        '((draw.plainTotals[k] ?? Number.NaN)) + ((observed[i] ?? 0))',
      ],
    ],
  },
  {
    file: 'standings/place-draws',
    why: 'more than is looked at',
    changes: [
      ['largest[index] = pairs.largest(drawn.subarray(index * count, (index + 1) * count));', '1', '2'],
    ],
  },
  {
    file: 'standings/place-draws',
    why: 'pairs with one that has no range are closed',
    changes: [['drawn[offset + i] = isFinite ? deviation : 0;', '0', '1']],
  },
  {
    file: 'standings/separate-pairs',
    why: 'only the square of a mean is used',
    changes: [['sums[i] = at(sums, i) + sum;', 'at(sums, i) + sum', '(at(sums, i)) - (sum)']],
  },
  {
    file: 'standings/separate-pairs',
    why: 'a batch holds fewer draws, the rest of it being zero',
    changes: [
      ['inBatch = 0;', '0', '1'],
      ['inBatch += 1;', '1', '2'],
      ['if (inBatch === BATCH) addBatch();', 'inBatch === BATCH', '(inBatch) !== (BATCH)'],
    ],
  },
  {
    file: 'standings/scatter-of-measures',
    why: 'a correlation exceeds 1 by rounding only, and its row is brought to length 1 after that',
    changes: [['return size > NO_VARIANCE ? Math.max(-1, Math.min(1, product / size)) : 0;', '1', '2']],
  },
  {
    file: 'standings/scatter-of-measures',
    why: 'any fixed order will do',
    changes: [
      [
        'const sorted = counted.toSorted((a, b) => (a.trial.trialId < b.trial.trialId ? -1 : 1));',
        'a.trial.trialId < b.trial.trialId',
        '(a.trial.trialId) >= (b.trial.trialId)',
      ],
      ['const sorted = counted.toSorted((a, b) => (a.trial.trialId < b.trial.trialId ? -1 : 1));', '1', '0'],
    ],
  },
  {
    file: 'standings/sensitivity',
    why: 'the greatest of equal ones is as great',
    changes: [
      [
        'const most = totals.reduce((best, total) => (total > best ? total : best), Number.NEGATIVE_INFINITY);',
        'total > best',
        '(total) >= (best)',
      ],
    ],
  },
  {
    file: 'standings/sensitivity',
    why: 'no two have one key, and any number above zero stands for later in the order',
    changes: [
      [
        '.sort((a, b) => b.share - a.share || (a.key < b.key ? -1 : 1));',
        'a.key < b.key',
        '(a.key) <= (b.key)',
      ],
      ['.sort((a, b) => b.share - a.share || (a.key < b.key ? -1 : 1));', '1', '2'],
    ],
  },
  {
    file: 'standings/check-points',
    why: 'only the sign counts',
    changes: [
      ["const turn = better === 'more' ? 1 : -1;", '1', '2'],
      ["return (better === 'more' ? 1 : -1) * how.points * factor > 0 ? Infinity : 0;", '1', '2'],
      [
        'steps.some(({ points }, index) => index > 0 && turn * (points - (steps[index - 1]?.points ?? 0)) < 0)',
        'turn * (points - (steps[index - 1]?.points ?? 0))',
        '(turn) / ((points - (steps[index - 1]?.points ?? 0)))',
      ],
    ],
  },
  {
    file: 'standings/check-points',
    why: 'there for the compiler: only asked behind the first step',
    changes: [
      [
        'steps.some(({ points }, index) => index > 0 && turn * (points - (steps[index - 1]?.points ?? 0)) < 0)',
        '0',
        '1',
      ],
    ],
  },
  {
    file: 'standings/draw-totals',
    why: 'where the scatter of days has no chance there are no draws of days that it could stretch',
    changes: [['const dayFactor = plan.dayChi < 0 ? 1 : at(chis, plan.dayChi);', '1', '2']],
  },
  {
    file: 'standings/place-draws',
    why: 'another row of chance numbers, as good as this one',
    changes: [['const draw = createTotalsDraw(scored, plan, createSeededRandom(seed, 1));', '1', '0']],
  },
  {
    file: 'standings/sensitivity',
    why: 'another row of chance numbers, as good as this one',
    changes: [['const random = createSeededRandom(seed, 2);', '2', '(-2)']],
  },
  {
    file: 'standings/place-draws',
    why: 'fewer draws for the standard deviations, and so only their precision, where the number asked for is no multiple of 2500',
    changes: [
      [
        'const plainEvery = Math.max(1, Math.floor(drawCount / PLAIN_DRAWS));',
        'Math.floor(drawCount / PLAIN_DRAWS)',
        'Math.ceil(drawCount / PLAIN_DRAWS)',
      ],
    ],
  },
  {
    file: 'standings/scatter-of-measures',
    why: 'only a tolerance for rounding',
    changes: [['else row[j] = diagonal > 1e-9 ? rest / diagonal : 0;', '1e-9', '1.1000000000000001e-9']],
  },
];
