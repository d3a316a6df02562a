import { describe, expect, it } from 'vitest';
import { describeCheckLoad } from '../../../../shared-lib/calibration/check-load.ts';
import type { CheckMeans } from '../../../../shared-lib/calibration/daily-check-model.ts';
import { demoMeans, demoVersion } from '../../../helpers/scripted-calibration.ts';

type Case = Partial<Parameters<typeof describeCheckLoad>[0]>;

/** 40 kg on 1 m: some 392 N m, under a calibration to 784 N m. */
const loadOf = (change: Case = {}) =>
  describeCheckLoad({
    means: demoMeans,
    calibration: demoVersion,
    limits: { capacityNm: 2000, rigLimitNm: 1500 },
    today: '2026-03-31',
    ...change,
  });
const codesOf = (change: Case) => loadOf(change).findings.map(({ code, severity }) => `${severity} ${code}`);
const onArm = (change: Partial<typeof demoMeans.arm>): CheckMeans => ({
  ...demoMeans,
  arm: { ...demoMeans.arm, ...change },
});

describe('the load of a daily check', () => {
  it('is known before anything hangs, and nothing speaks against one within all limits', () => {
    const { torqueNm, findings, way } = loadOf();
    expect(torqueNm).toBeCloseTo(392.3, 0);
    expect(findings).toEqual([]);
    expect(way).toBe('weightsOnArm');
  });

  it('is stopped beyond the capacity of the transducer or the limit of the rig', () => {
    const means = onArm({ lengthM: 1.5 });
    expect(codesOf({ means, limits: { capacityNm: 500, rigLimitNm: null } })).toEqual(['stop over-capacity']);
    expect(codesOf({ means, limits: { capacityNm: 2000, rigLimitNm: 550 } })).toEqual([
      'stop over-rig-limit',
    ]);
    const [stop] = loadOf({ means, limits: { capacityNm: 500, rigLimitNm: null } }).findings;
    expect(stop?.sentence).toContain('This load gives 588');
  });

  it('cannot be told from one too great where the capacity is not entered', () => {
    expect(codesOf({ limits: { capacityNm: null, rigLimitNm: null } })).toEqual(['look capacity-unknown']);
  });

  it('is to be looked at beyond the calibrated range, and stopped in a sense that was not calibrated', () => {
    const forward = { gainNmPerCount: 0.0123, validToNm: 150, curve: null };
    expect(codesOf({ calibration: { ...demoVersion, forward } })).toEqual(['look outside-range']);
    expect(codesOf({ calibration: { ...demoVersion, forward: null } })).toEqual([
      'stop sense-not-calibrated',
    ]);
  });

  it('has the findings of its weights', () => {
    expect(codesOf({ today: '2027-06-01' })).toEqual([
      'look certificate-out-of-date',
      'look certificate-out-of-date',
    ]);
    const [weight] = demoMeans.weights;
    if (weight === undefined) throw new Error('The demo means have no weight.');
    // Of a class without a nominal mass of 21 kg its uncertainty is not known, nor how far it lies in the range.
    const means: CheckMeans = { ...demoMeans, weights: [{ ...weight, massKg: 21 }] };
    expect(codesOf({ means })).toContain('stop no-class-limit');
  });

  it('has no torque of a shunt, and on a load cell neither the slope of an arm nor its own weight', () => {
    expect(loadOf({ means: { kind: 'shunt' } })).toEqual({
      way: 'weightsOnArm',
      torqueNm: null,
      findings: [],
    });
    const own = { massKg: 1.5, densityKgM3: 7850, centreOfMassM: 0.31 };
    const means = onArm({ angleDeg: 20, own });
    const onHanger = loadOf({ means, calibration: { ...demoVersion, method: 'loadCell' } });
    expect(onHanger.way).toBe('loadCell');
    expect(onHanger.torqueNm).toBeCloseTo(392.4, 0);
  });
});
