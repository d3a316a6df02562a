import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { findGainChanges, findSlip } from '../../../../shared-lib/calibration/find-slips.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { madeSeries } from './made-series.ts';

const random = createSeededRandom(11, 0);
/** Three mountings that differ, of six steps each; readings of the n-th begin at 10 n. */
const mountings = (share: (place: number) => number) =>
  [0.0004, -0.0003, 0.0001].map((relative, place) =>
    madeSeries(
      {
        mounting: place + 1,
        relative,
        firstIndex: 10 * (place + 1),
        noiseCounts: 20,
        share: place === 1 ? share : () => 1,
      },
      random,
    ),
  );

describe('a slip that lasts', () => {
  it('is found at the reading where it begins, with its size', () => {
    const slip = findSlip(
      mountings((place) => (place >= 3 ? 0.995 : 1)),
      distributions,
    );
    expect(slip).toMatchObject({ index: 23, torqueNm: 120, series: 1 });
    expect(slip?.changePercent).toBeCloseTo(-0.5, 1);
  });

  it('is not what one stray reading is, nor what mountings do', () => {
    expect(
      findSlip(
        mountings((place) => (place === 3 ? 0.995 : 1)),
        distributions,
      ),
    ).toBeNull();
    expect(
      findSlip(
        mountings(() => 0.995),
        distributions,
      ),
    ).toBeNull();
    expect(
      findSlip(
        mountings(() => 1),
        distributions,
      ),
    ).toBeNull();
  });

  it('is passed over where it does no harm', () => {
    expect(
      findSlip(
        mountings((place) => (place >= 3 ? 0.9994 : 1)),
        distributions,
      ),
    ).toBeNull();
  });

  it('is found in a single series too if it is large, and needs readings enough', () => {
    const share = (place: number) => (place >= 5 ? 0.98 : 1);
    const torquesNm = [20, 40, 60, 80, 100, 120, 140, 160, 180, 200];
    const single = madeSeries({ torquesNm, share, noiseCounts: 10 }, random);
    expect(findSlip([single], distributions)).toMatchObject({ index: 5, torqueNm: 120 });
    expect(findSlip([madeSeries({ torquesNm: [30, 60, 90], share })], distributions)).toBeNull();
  });
});

describe('a gain that does not stay', () => {
  const series = (...relatives: readonly (readonly [mounting: number, relative: number])[]) =>
    relatives.map(([mounting, relative]) => madeSeries({ mounting, relative }));

  it('within one mounting is told with its size', () => {
    const [change] = findGainChanges(series([1, 0], [1, -0.004], [2, 0], [3, 0.0001]));
    expect(change?.kind).toBe('repeats');
    expect(change?.percent).toBeCloseTo(0.4, 2);
  });

  it('from mounting to mounting is told beyond half a percent', () => {
    expect(findGainChanges(series([1, 0], [1, 0.0002], [2, 0.006], [3, 0.001]))).toEqual([
      { kind: 'mountings', percent: expect.closeTo(0.6, 1) as number },
    ]);
    expect(findGainChanges(series([1, 0], [1, 0.0002], [2, 0.003], [3, 0.001]))).toEqual([]);
  });

  it('always the same way is told as a trend', () => {
    const changes = findGainChanges(series([1, 0], [1, -0.0008], [2, -0.0016], [3, -0.0024]));
    expect(changes).toEqual([{ kind: 'trend', percent: expect.closeTo(-0.24, 2) as number }]);
  });

  it('is not asked of half a series', () => {
    const half = madeSeries({ mounting: 3, relative: 0.01, torquesNm: [30, 60] });
    expect(findGainChanges([...series([1, 0], [1, 0.0002], [2, 0.0001]), half])).toEqual([]);
  });
});
