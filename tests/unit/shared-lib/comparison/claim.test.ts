import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { judgeClaim, type ClaimToJudge } from '../../../../shared-lib/comparison/claim.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';

const judged = (change: Partial<ClaimToJudge> = {}) =>
  judgeClaim(
    {
      claimedNm: 500,
      kind: 'fastening',
      valuesNm: [510, 514, 512, 508, 511],
      calibrationAt: () => ({ relative: 0.004, degreesOfFreedom: 12 }),
      validToNm: 1000,
      pooledScatter: null,
      words: { tool: 'Hollin H5', format: (torqueNm) => `${torqueNm.toFixed(1)} N·m` },
      ...change,
    },
    distributions,
  );

describe('a fastening claim', () => {
  it('is judged by scatter and calibration together, with the degrees of freedom of both', () => {
    const found = judged();
    // mean 511, s 2.236068: s / sqrt(5) = 1 and u_cal = 2.044, worked out by hand.
    expect(found.meanNm).toBeCloseTo(511, 10);
    expect(found.scatterNm).toBeCloseTo(1, 10);
    expect(found.calibrationNm).toBeCloseTo(2.044, 10);
    const nu = (1 + 2.044 ** 2) ** 2 / (1 / 4 + 2.044 ** 4 / 12);
    expect(found.degreesOfFreedom).toBeCloseTo(nu, 9);
    const half = distributions.studentTQuantile(0.95, nu) * Math.hypot(1, 2.044);
    expect(found.lowerBoundNm).toBeCloseTo(511 - half, 9);
    expect(found.upperBoundNm).toBeCloseTo(511 + half, 9);
  });

  it('is reached, not reached, or cannot be told, by the one-sided bounds', () => {
    const { lowerBoundNm, upperBoundNm } = judged();
    expect(judged().verdict).toBe('reached');
    expect(judged({ claimedNm: lowerBoundNm ?? NaN }).verdict).toBe('reached');
    expect(judged({ claimedNm: (lowerBoundNm ?? NaN) + 0.01 }).verdict).toBe('cannotTell');
    expect(judged({ claimedNm: upperBoundNm ?? NaN }).verdict).toBe('cannotTell');
    expect(judged({ claimedNm: (upperBoundNm ?? NaN) + 0.01 }).verdict).toBe('notReached');
  });

  it('names specimen, bench and the dynamic error in its sentence', () => {
    for (const claimedNm of [500, 511, 900]) {
      const { sentence } = judged({ claimedNm });
      expect(sentence).toContain('for this specimen on this bench');
      expect(sentence).toContain('dynamic error not included');
      expect(sentence).toContain(`the claimed ${claimedNm.toFixed(1)} N·m`);
    }
  });

  it('cannot be told from one run, unless the scatter of the others is known', () => {
    const single = judged({ valuesNm: [560] });
    expect(single).toMatchObject({ verdict: 'cannotTell', meanNm: 560, scatterNm: null, lowerBoundNm: null });
    const borrowed = judged({
      valuesNm: [560],
      pooledScatter: { standardDeviation: 0.01, degreesOfFreedom: 20 },
    });
    expect(borrowed.scatterNm).toBeCloseTo(5.6, 10);
    expect(borrowed.verdict).toBe('reached');
    expect(borrowed.cautions.join(' ')).toContain('the scatter of the other setups');
  });

  it('cannot be told without an uncertainty of the calibration', () => {
    const found = judged({ calibrationAt: () => null });
    expect(found).toMatchObject({ verdict: 'cannotTell', lowerBoundNm: null, upperBoundNm: null });
    expect(found.sentence).toContain('the calibration states no uncertainty');
  });

  it('cannot be told beyond the greatest torque of the calibration, which nothing shows how to go on from', () => {
    expect(judged({ validToNm: 511 }).verdict).toBe('reached');
    const found = judged({ validToNm: 510.9 });
    expect(found).toMatchObject({
      verdict: 'cannotTell',
      meanNm: 511,
      lowerBoundNm: null,
      upperBoundNm: null,
    });
    expect(found.sentence).toContain('the calibration reaches only to 510.9 N·m');
    // Nor that it is not reached.
    expect(judged({ claimedNm: 900, validToNm: 500 }).verdict).toBe('cannotTell');
    expect(judged({ validToNm: null }).verdict).toBe('reached');
  });

  it('is not checked without trials', () => {
    expect(judged({ valuesNm: [] })).toMatchObject({ verdict: 'noTrials', meanNm: null });
  });

  it('that is just met is called reached in at most 5 % of cases', () => {
    const CHECKS = 3000;
    const exactly = () => ({ relative: 0.004, degreesOfFreedom: null });
    const random = createSeededRandom(7, 0);
    let reached = 0;
    for (let check = 0; check < CHECKS; check += 1) {
      const scale = 1 + 0.004 * random.gaussian();
      const valuesNm = [1, 2, 3, 4].map(() => scale * (500 + 4 * random.gaussian()));
      if (judged({ valuesNm, calibrationAt: exactly }).verdict === 'reached') reached += 1;
    }
    expect(reached / CHECKS).toBeLessThan(0.05 + 3 * Math.sqrt((0.05 * 0.95) / CHECKS));
    expect(reached / CHECKS).toBeGreaterThan(0.03);
  });
});

describe('a breakaway claim', () => {
  const breakaway = (change: Partial<ClaimToJudge>) => judged({ kind: 'breakaway', ...change });

  it('is reached where a preload above it was released, beyond the doubt of the calibration', () => {
    const found = breakaway({ valuesNm: [450, 520, 520] });
    const t = distributions.studentTQuantile(0.95, 12);
    expect(found.verdict).toBe('reached');
    expect(found.meanNm).toBe(520);
    expect(found.lowerBoundNm).toBeCloseTo(520 * (1 - t * 0.004), 9);
    expect(found.upperBoundNm).toBeNull();
    expect(found.sentence).toContain('dynamic error not included');
    expect(breakaway({ valuesNm: [501] }).verdict).toBe('cannotTell');
  });

  it('is never called not reached by releases alone', () => {
    expect(breakaway({ valuesNm: [200, 210, 190] }).verdict).toBe('cannotTell');
  });

  it('is not reached where less did not come loose and nothing as high ever did', () => {
    expect(breakaway({ valuesNm: [300, 350], notReleasedNm: [400, 420] }).verdict).toBe('notReached');
    expect(breakaway({ valuesNm: [], notReleasedNm: [400] }).verdict).toBe('notReached');
    expect(breakaway({ valuesNm: [300, 450], notReleasedNm: [400] }).verdict).toBe('cannotTell');
    expect(breakaway({ valuesNm: [300], notReleasedNm: [499.5] }).verdict).toBe('cannotTell');
    expect(breakaway({ valuesNm: [] }).verdict).toBe('noTrials');
  });

  it('takes of each preload what the calibration states of that one', () => {
    const calibrationAt = (torqueNm: number) => ({
      relative: torqueNm > 550 ? 0.001 : 0.03,
      degreesOfFreedom: torqueNm > 550 ? null : 12,
    });
    const released = breakaway({ valuesNm: [510], calibrationAt });
    expect(released.verdict).toBe('cannotTell');
    // A higher one that stayed says nothing of how well the lower one was known.
    const withHigher = breakaway({ valuesNm: [510], notReleasedNm: [600], calibrationAt });
    expect(withHigher.verdict).toBe('cannotTell');
    expect(withHigher.lowerBoundNm).toBe(released.lowerBoundNm);
    expect(withHigher.degreesOfFreedom).toBe(12);
    const normal = distributions.studentTQuantile(0.95, 1e9);
    expect(withHigher.upperBoundNm).toBeCloseTo(600 * (1 + 0.001 * normal), 9);
  });

  it('takes nothing from preloads beyond the greatest torque of the calibration', () => {
    const found = breakaway({ valuesNm: [450, 520], validToNm: 500 });
    expect(found).toMatchObject({ verdict: 'cannotTell', meanNm: 450 });
    expect(found.cautions.join(' ')).toContain(
      'One run was made at a preload beyond the 500.0 N·m that the calibration reaches to, and shows nothing of the claim.',
    );
    const none = breakaway({ valuesNm: [520], notReleasedNm: [600], validToNm: 500 });
    expect(none).toMatchObject({
      verdict: 'cannotTell',
      meanNm: null,
      lowerBoundNm: null,
      upperBoundNm: null,
    });
    expect(none.sentence).toContain('no preload within the calibrated range was released');
  });

  it('says what did not come loose, and that one release is one', () => {
    const found = breakaway({ valuesNm: [520], notReleasedNm: [600] });
    expect(found.verdict).toBe('reached');
    expect(found.cautions.join(' ')).toContain('The highest preload was released once.');
    expect(found.cautions.join(' ')).toContain('One run did not release the preload, the lowest 600.0 N·m.');
  });
});
