import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import {
  type GainScatter,
  gainScatter,
  pooledOverSenses,
} from '../../../../shared-lib/calibration/gain-scatter.ts';
import { madeSeries } from './made-series.ts';

describe('how far the gain differs', () => {
  it('is one observation for each mounting, however many steps there are', () => {
    const mountings = [0, 0.001, -0.001].map((relative, place) =>
      madeSeries({ mounting: place + 1, relative }),
    );
    expect(gainScatter(mountings)).toEqual({
      between: 'mountings',
      relative: expect.closeTo(0.001, 9) as number,
      degreesOfFreedom: 2,
      shareInCurve: expect.closeTo(1 / 3, 12) as number,
    });
  });

  it('is that from series to series on a rig that is never remounted', () => {
    const found = gainScatter([madeSeries({}), madeSeries({ relative: 0.001 })]);
    expect(found).toMatchObject({ between: 'series', degreesOfFreedom: 1 });
    expect(found?.relative).toBeCloseTo(0.001 / Math.SQRT2, 6);
  });

  it('is that of the mountings where each has an arm of its own, the longer one weighing more in the curve', () => {
    const long = [1, 2, 3].map(() => madeSeries({ torquesNm: [100] }));
    const short = [1, 2, 3].map(() =>
      madeSeries({ mounting: 2, arm: 'shortArm', torquesNm: [50], relative: 0.002 }),
    );
    const found = gainScatter([...long, ...short]);
    expect(found).toMatchObject({ between: 'mountings', degreesOfFreedom: 1 });
    expect(found?.relative).toBeCloseTo(0.002 / Math.SQRT2, 5);
    expect(found?.shareInCurve).toBeCloseTo(0.8 ** 2 + 0.2 ** 2, 12);
  });

  it('is not known from one series, or from repeats of one step', () => {
    expect(gainScatter([madeSeries({})])).toBeNull();
    expect(gainScatter([1, 2, 3].map(() => madeSeries({ torquesNm: [100] })))).toBeNull();
  });
});

describe('both senses together', () => {
  const of = (relative: number, between: GainScatter['between'] = 'mountings'): GainScatter => ({
    between,
    relative,
    degreesOfFreedom: 2,
    shareInCurve: 1 / 3,
  });

  it('know the scatter by the degrees of freedom of both', () => {
    expect(pooledOverSenses(of(0.001), of(0.003), distributions)).toEqual({
      ...of(Math.sqrt((0.001 ** 2 + 0.003 ** 2) / 2)),
      degreesOfFreedom: 4,
    });
  });

  it('stand for themselves where they differ by more than chance allows, or are not of one kind', () => {
    expect(pooledOverSenses(of(0.01), of(0.001), distributions)).toEqual(of(0.01));
    expect(pooledOverSenses(of(0.001), of(0.01), distributions)).toEqual(of(0.001));
    expect(pooledOverSenses(of(0.001), of(0.001, 'series'), distributions)).toEqual(of(0.001));
    expect(pooledOverSenses(of(0.001), null, distributions)).toEqual(of(0.001));
  });
});
