import { describe, expect, it } from 'vitest';
import type { Basis } from '../../../../shared-lib/charts/chart-notes.ts';
import { curvesOfComparison } from '../../../../shared-lib/charts/comparison-charts.ts';
import type { Checkpoint, Comparison } from '../../../../shared-lib/comparison/comparison-model.ts';
import { comparison } from '../../renderer/compare/compare-samples.ts';

const basis: Basis = { records: [], calibrations: [], dayOf: (instant) => instant.slice(0, 10) };
const checkpoints: Checkpoint[] = [
  // Turned round: 1 / 0.98 = 1.0204 within 1 / 1.04 = 0.9615 and 1 / 0.93 = 1.0753.
  { atS: 1, ratio: { ratio: 0.98, low: 0.93, high: 1.04 }, isClear: false },
  // 1 / 0.8 = 1.25 within 1 / 1.25 = 0.8 and 1 / 0.64 = 1.5625.
  { atS: 2, ratio: { ratio: 0.8, low: 0.64, high: 1.25 }, isClear: false },
];

function stripOf(changes: Partial<Comparison>) {
  const chart = curvesOfComparison(comparison({ checkpoints, ...changes }), new Map(), basis, []);
  return {
    texts: chart.checkpoints.map(({ text }) => text.replaceAll('\u202f', ' ')),
    note: chart.notes.find((note) => note.startsWith('Above:'))?.replace(/ with .*$/u, ''),
  };
}

const aOverB = {
  texts: ['\u22122.0 ± 6.0 %', '\u221220 ± 45 %'],
  note: 'Above: torque of Hollin H5 over Tarnwick T6',
};
const bOverA = {
  texts: ['+2.0 ± 5.9 %', '+25 ± 45 %'],
  note: 'Above: torque of Tarnwick T6 over Hollin H5',
};

describe('the instants above the curves of two tools', () => {
  it('tell how far the one that the sentence has ahead is over the other', () => {
    expect(stripOf({ ratio: { ratio: 1.12, low: 1.08, high: 1.16 } })).toEqual(aOverB);
    expect(stripOf({ ratio: { ratio: 0.9, low: 0.85, high: 0.95 }, verdict: 'behind' })).toEqual(bOverA);
  });

  it('take the one with the shorter time for the one ahead, where less is better', () => {
    const measure = { figure: 'timeToLevel', levelNm: 400 } as const;
    const asked = { measure, better: 'less' } as const;
    expect(stripOf({ ...asked, ratio: { ratio: 0.9, low: 0.85, high: 0.95 } })).toEqual(aOverB);
    expect(stripOf({ ...asked, ratio: { ratio: 1.12, low: 1.08, high: 1.16 }, verdict: 'behind' })).toEqual(
      bOverA,
    );
  });

  it('are told as asked for while nothing is known of who is ahead', () => {
    expect(stripOf({ ratio: null, verdict: 'needsMoreRuns' })).toEqual(aOverB);
  });
});
