import { describe, expect, it } from 'vitest';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import {
  gainWords,
  ratingCaution,
  uncertaintyWords,
} from '../../../../shared-lib/calibration/words/calibration-sentences.ts';
import { judgeSteadiness, steadinessSentence } from '../../../../renderer/calibrate/steadiness.ts';

const plain = (text: string) => text.replaceAll(THIN_SPACE, ' ');
const whole = (torqueNm: number) => `${torqueNm} N·m`;

describe('gain', () => {
  it('is shown per 1000 counts with five significant digits', () => {
    expect(plain(gainWords(0.000490258950125, 'Nm'))).toBe('0.49026 N·m per 1000 counts');
    expect(plain(gainWords(-0.0123456, 'Nm'))).toBe('−12.346 N·m per 1000 counts');
  });

  it('follows the shown unit', () => {
    // 1.3558179483314004 N·m is one ft·lbf.
    expect(plain(gainWords(0.0013558179483314004, 'ftLbf'))).toBe('1.0000 ft·lbf per 1000 counts');
  });
});

describe('uncertainty', () => {
  it('is marked as entered, or said not to be stated', () => {
    expect(plain(uncertaintyWords(0.5))).toBe('±0.50 % as entered');
    expect(uncertaintyWords(null)).toBe('not stated');
  });
});

describe('rating caution', () => {
  it('warns of each limit that the weight exceeds', () => {
    const sentence = ratingCaution(250, { capacityNm: 200, rigLimitNm: 240 }, whole);
    expect(sentence).toContain('the capacity of the transducer, 200 N·m');
    expect(sentence).toContain('the limit of the rig, 240 N·m');
  });

  it('is silent at the limit and where no limit is known', () => {
    expect(ratingCaution(200, { capacityNm: 200, rigLimitNm: null }, whole)).toBeNull();
    expect(ratingCaution(200, null, whole)).toBeNull();
  });
});

describe('steadiness', () => {
  it.each([
    [100, 10_000, 'steady'],
    [101, 10_000, 'restless'],
    [500, -10_000, 'restless'],
    [501, -10_000, 'moving'],
  ] as const)('a spread of %d counts on %d is %s', (spread, deflection, expected) => {
    expect(judgeSteadiness(spread, deflection)).toBe(expected);
  });

  it('is not judged without a deflection to judge it by', () => {
    const capture = { meanCounts: 10, spreadCounts: 3, sampleCount: 80 };
    expect(judgeSteadiness(3, null)).toBeNull();
    expect(steadinessSentence(capture, null)).toBe(
      'Mean of 80 samples, which spread over 3 counts. Whether that is steady shows once a load has been read too.',
    );
  });
});
