import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { simulateRun, type TrueBench } from '../../../../scripts/coverage/simulate-run.ts';
import { evaluateRun } from '../../../../shared-lib/calibration/evaluate-run.ts';
import type { RunSetup, TakenReading } from '../../../../shared-lib/calibration/run-model.ts';
import {
  expandedUncertaintyNm,
  readDeflection,
  senseFromResult,
} from '../../../../shared-lib/calibration/uncertainty-at.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { demoSetup, demoShortArm } from '../../../helpers/run-setups.ts';

const bench: TrueBench = {
  countsPerNm: 4000,
  bend: 0,
  mountingScatter: 0.0002,
  noiseCounts: 20,
  fluctuationCounts: 10,
  reversibility: 0.0005,
  driftCounts: 0,
};
const fullSetup = demoSetup(6, { series: 'full', senses: ['forward', 'reverse'], exercises: 3, dwellS: 30 });

function runOf(setup: RunSetup, change: Partial<TrueBench> = {}, seed = 3) {
  return simulateRun(setup, { ...bench, ...change }, { kind: 'none' }, createSeededRandom(seed, 0));
}

function evaluate(
  setup: RunSetup,
  taken: readonly TakenReading[],
  readings = runOf(setup).readings,
  more: { inUse?: { forward: { gainNmPerCount: number }; reverse: null } } = {},
) {
  return evaluateRun({ setup, readings, taken, overrides: [], capacityNm: 250, ...more }, distributions);
}

const codes = (result: ReturnType<typeof evaluate>) => result.findings.map(({ code }) => code);

describe('a full run of both senses', () => {
  const run = runOf(fullSetup);

  it('gives each sense a curve of its own, near the truth, and a class from three mountings', () => {
    const result = evaluate(fullSetup, run.taken);
    expect(result.senses.map(({ sense }) => sense)).toEqual(['forward', 'reverse']);
    for (const sense of result.senses) {
      expect(senseFromResult(sense).gainNmPerCount * 4000).toBeCloseTo(1, 2);
      expect(sense.classification.reached).not.toBeNull();
      expect(sense.steps).toHaveLength(6);
    }
    expect(result.findings.filter(({ severity }) => severity !== 'note')).toEqual([]);
  });

  it('makes the uncertainty at the bench larger than that at the calibration, and never averages common terms down', () => {
    const result = evaluate(fullSetup, run.taken);
    for (const { atBench, atCalibration, terms } of result.senses.flatMap(({ steps }) => steps)) {
      expect(atBench.standardNm).toBeGreaterThan(atCalibration.standardNm);
      const common = terms.filter(({ kind }) => kind === 'common');
      expect(common.every(({ degreesOfFreedom }) => degreesOfFreedom === null)).toBe(true);
      const ofCommon = Math.hypot(...common.map(({ standardUncertaintyNm }) => standardUncertaintyNm));
      expect(atCalibration.standardNm).toBeGreaterThan(ofCommon);
    }
  });

  it('says that the calibration is static, and what limits it', () => {
    const { summary } = evaluate(fullSetup, run.taken);
    expect(summary.join(' ')).toContain('Static calibration; dynamic error not included');
    expect(summary.join(' ')).toContain('What limits it most');
  });

  it('is evaluated before it is whole, and says how much is missing', () => {
    const result = evaluate(fullSetup, run.taken.slice(0, 20));
    expect(codes(result)).toContain('unfinished');
    expect(result.summary.join(' ')).toContain('Reverse has no readings yet');
  });

  it('is refused while there is nothing to fit', () => {
    expect(() => evaluate(fullSetup, run.taken.slice(0, 3))).toThrow(
      expect.objectContaining({ code: 'calibration-degenerate' }),
    );
  });
});

describe('what a run is flagged for', () => {
  const run = runOf(fullSetup);
  const changed = (isChanged: (reading: TakenReading) => boolean, change: (counts: number) => number) =>
    run.taken.map((reading) =>
      isChanged(reading) ? { ...reading, meanCounts: change(reading.meanCounts) } : reading,
    );
  const indexOf = (level: number, sense = 'forward', nth = 0): number =>
    run.readings.filter(
      (planned) => planned.stage === 'increasing' && planned.level === level && planned.sense === sense,
    )[nth]?.index ?? -1;

  it('a weight that slipped: the reading is named, and far off it stops the calibration', () => {
    const index = indexOf(4);
    const slipped = evaluate(
      fullSetup,
      changed(
        (reading) => reading.index === index,
        (counts) => counts * 0.99,
      ),
    );
    expect(slipped.findings).toContainEqual(
      expect.objectContaining({ code: 'stray-reading', severity: 'look', sense: 'forward' }),
    );
    expect(slipped.findings.find(({ code }) => code === 'stray-reading')?.sentence).toContain(
      `Reading ${index + 1} `,
    );
    const missing = evaluate(
      fullSetup,
      changed(
        (reading) => reading.index === index,
        (counts) => counts * 0.8,
      ),
    );
    expect(missing.findings).toContainEqual(
      expect.objectContaining({ code: 'stray-reading', severity: 'stop' }),
    );
  });

  it('a load on the wrong side', () => {
    const index = indexOf(3);
    const result = evaluate(
      fullSetup,
      changed(
        (reading) => reading.index === index,
        (counts) => -counts,
      ),
    );
    expect(result.findings).toContainEqual(
      expect.objectContaining({ code: 'wrong-direction', severity: 'stop' }),
    );
  });

  it('a sense that was loaded on the side of the other', () => {
    const reverse = new Set(
      run.readings.filter(({ sense }) => sense === 'reverse').map(({ index }) => index),
    );
    const result = evaluate(
      fullSetup,
      changed(
        (reading) => reverse.has(reading.index),
        (counts) => 2 * 1234 - counts,
      ),
    );
    expect(codes(result)).toContain('same-side');
  });

  it('a zero that moves', () => {
    const drifting = runOf(fullSetup, { driftCounts: 300 });
    const result = evaluate(fullSetup, drifting.taken);
    expect(codes(result)).toContain('zero-moved');
  });

  it('readings that were taken in spite of a remark', () => {
    const flagged = run.taken.map((reading) =>
      reading.index === 5 ? { ...reading, flags: [{ code: 'drift', sentence: 'It crept.' }] } : reading,
    );
    expect(evaluate(fullSetup, flagged).findings).toContainEqual(
      expect.objectContaining({ code: 'flagged-readings', sentence: expect.stringContaining('number 6') }),
    );
  });

  it('a gain far from the calibration in use, and the unit where the ratio is one of two units', () => {
    const inUse = (gainNmPerCount: number) => ({ inUse: { forward: { gainNmPerCount }, reverse: null } });
    const changedGain = evaluate(fullSetup, run.taken, run.readings, inUse(1.03 / 4000));
    expect(changedGain.findings.find(({ code }) => code === 'gain-changed')?.sentence).toContain(
      'measure the arm again',
    );
    const pounds = evaluate(fullSetup, run.taken, run.readings, inUse(0.45359237 / 4000));
    expect(pounds.findings.find(({ code }) => code === 'gain-changed')?.sentence).toContain(
      'pounds to kilograms',
    );
    expect(codes(evaluate(fullSetup, run.taken, run.readings, inUse(1.002 / 4000)))).not.toContain(
      'gain-changed',
    );
  });

  it('a transducer of much friction', () => {
    const rubbing = runOf(fullSetup, { reversibility: 0.02 });
    expect(codes(evaluate(fullSetup, rubbing.taken))).toContain('large-reversibility');
  });
});

describe('the shorter series', () => {
  it('says of a quick one that nothing is repeated, and takes the scatter about the curve', () => {
    const setup = demoSetup(6, { series: 'quick' });
    const result = evaluate(setup, runOf(setup).taken);
    expect(codes(result)).toContain('no-repeatability');
    const [sense] = result.senses;
    expect(sense?.classification.reached).toBeNull();
    expect(sense?.steps[0]?.repeatabilityPercent).toBeNull();
    expect(sense?.steps[0]?.terms.map(({ source }) => source)).toContain(
      'Scatter about the curve, in the curve',
    );
  });

  it('says of a rig that cannot be remounted that there is no reproducibility and no class', () => {
    const setup = demoSetup(6, { series: 'notRemountable' });
    const result = evaluate(setup, runOf(setup).taken);
    expect(codes(result)).toContain('no-reproducibility');
    expect(result.senses[0]?.steps[0]).toMatchObject({ reproducibilityPercent: null });
    expect(result.senses[0]?.steps[0]?.repeatabilityPercent).not.toBeNull();
    expect(result.senses[0]?.classification.reached).toBeNull();
  });

  it('calls one weight at two arm lengths a single-weight sensitivity, up to the torque that was applied', () => {
    const setup = demoSetup(1, { way: 'oneWeight', series: 'twoArmLengths', shortArm: demoShortArm });
    const result = evaluate(setup, runOf(setup).taken);
    expect(codes(result)).toContain('single-weight');
    expect(result.senses[0]?.classification.reason.sentence).toContain('single-weight sensitivity');
    expect(result.senses[0]?.validToNm).toBeCloseTo(24.5, 0);
  });
});

describe('the budget', () => {
  const termOf = (result: ReturnType<typeof evaluate>, source: string) =>
    result.senses[0]?.steps.at(-3)?.terms.find((term) => term.source === source);

  it('knows what mounting does from both senses, but counts it once for curve and bench', () => {
    const result = evaluate(fullSetup, runOf(fullSetup, { mountingScatter: 0.0005 }).taken);
    const [inCurve, ofBench] = ['Mounting, in the curve', 'Mounting, of the bench'].map((source) =>
      termOf(result, source),
    );
    expect(ofBench?.degreesOfFreedom).toBe(4);
    expect((ofBench?.value ?? 0) / (inCurve?.value ?? 1)).toBeCloseTo(Math.sqrt(3), 3);
    expect(inCurve?.estimate).toBe(ofBench?.estimate);
    const ofOneSense = evaluate({ ...fullSetup, senses: ['forward'] }, runOf(fullSetup).taken.slice(0, 45));
    expect(termOf(ofOneSense, 'Mounting, of the bench')?.degreesOfFreedom).toBe(2);
  });

  it('has what changes from series to series where the rig is never remounted', () => {
    const setup = demoSetup(6, { series: 'notRemountable' });
    const calm = evaluate(setup, runOf(setup, { mountingScatter: 0 }).taken);
    const restless = evaluate(setup, runOf(setup, { mountingScatter: 0, seriesScatter: 0.002 }).taken);
    const expandedOf = ({ senses }: typeof calm) => senses[0]?.steps.at(-1)?.atBench.expandedNm ?? 0;
    expect(termOf(restless, 'Gain of the series, of one reading')?.degreesOfFreedom).toBe(1);
    expect(expandedOf(restless)).toBeGreaterThan(3 * expandedOf(calm));
  });

  it('takes all of the distance to the falling branch as a limit, since the curve is the rising one', () => {
    const result = evaluate(fullSetup, runOf(fullSetup, { reversibility: 0.002 }).taken);
    const step = result.senses[0]?.steps.at(-3);
    expect(termOf(result, 'Reversibility')).toMatchObject({
      value: step?.reversibilityPercent,
      distribution: 'rectangular',
      time: 'bench',
    });
  });

  it('has a limit for what a line misses, and says so, where there are too few steps for a curve', () => {
    const setup = demoSetup(4, { series: 'full' });
    const bent = evaluate(setup, runOf(setup, { bend: 0.005, noiseCounts: 5 }).taken);
    expect(codes(bent)).toContain('misses-steps');
    expect(termOf(bent, 'Interpolation')).toMatchObject({ distribution: 'rectangular' });
    expect(codes(evaluate(setup, runOf(setup).taken))).not.toContain('misses-steps');
  });
});

describe('the uncertainty at any torque', () => {
  const run = runOf(fullSetup);

  it('is that of the steps at the steps, between them in between, and never less than at the lowest', () => {
    const [sense] = evaluate(fullSetup, run.taken).senses;
    if (sense === undefined) throw new Error('There is a result');
    const [low, second] = sense.steps;
    if (low === undefined || second === undefined) throw new Error('There are steps');
    expect(expandedUncertaintyNm(sense, low.torqueNm, 'bench')).toBe(low.atBench.expandedNm);
    expect(expandedUncertaintyNm(sense, low.torqueNm / 10, 'bench')).toBe(low.atBench.expandedNm);
    const between = expandedUncertaintyNm(sense, (low.torqueNm + second.torqueNm) / 2, 'calibration');
    expect(between).toBeCloseTo((low.atCalibration.expandedNm + second.atCalibration.expandedNm) / 2, 9);
    const top = sense.steps.at(-1);
    expect(expandedUncertaintyNm(sense, -2 * (top?.torqueNm ?? 0), 'bench')).toBeCloseTo(
      2 * (top?.atBench.expandedNm ?? 0),
      9,
    );
  });

  it('goes with a deflection that is turned back into its torque, in either sense', () => {
    for (const sense of evaluate(fullSetup, run.taken).senses) {
      const third = sense.steps[2];
      if (third === undefined) throw new Error('There are steps');
      const read = readDeflection(sense, third.fittedCounts, 'calibration');
      expect(read.torqueNm).toBeCloseTo(third.torqueNm, 9);
      expect(read.expandedNm).toBeCloseTo(third.atCalibration.expandedNm, 9);
      expect(read.isOutsideRange).toBe(false);
      expect(readDeflection(sense, 3 * (sense.steps.at(-1)?.fittedCounts ?? 0), 'bench').isOutsideRange).toBe(
        true,
      );
    }
  });
});
