import type { Series } from '../../../../shared-lib/calibration/series-figures.ts';
import type { SeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';

export const MADE_COUNTS_PER_NM = 4000;
export const MADE_TORQUES_NM = [30, 60, 90, 120, 150, 180];

/** An increasing series whose gain differs by `relative` from the others; readings numbered from `firstIndex`. */
export function madeSeries(
  given: {
    readonly mounting?: number;
    readonly relative?: number;
    readonly firstIndex?: number;
    readonly torquesNm?: readonly number[];
    readonly arm?: 'arm' | 'shortArm';
    readonly noiseCounts?: number;
    /** Each reading is multiplied by what this gives for its place. */
    readonly share?: (place: number) => number;
  },
  random?: SeededRandom,
): Series {
  const { mounting = 1, relative = 0, firstIndex = 0, torquesNm = MADE_TORQUES_NM, arm = 'arm' } = given;
  const { noiseCounts = 0, share = () => 1 } = given;
  return {
    sense: 'forward',
    mounting,
    zeroBeforeCounts: 0,
    zeroShiftCounts: 0,
    increasing: torquesNm.map((torqueNm, place) => ({
      index: firstIndex + place,
      level: place + 1,
      arm,
      torqueNm,
      counts:
        (1 + relative) * share(place) * MADE_COUNTS_PER_NM * torqueNm +
        noiseCounts * (random?.gaussian() ?? 0),
    })),
    decreasing: [],
  };
}
