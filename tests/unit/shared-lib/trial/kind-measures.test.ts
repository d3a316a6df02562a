import { describe, expect, it } from 'vitest';
import { measuringCurve, measuringWindowSamples } from '../../../../shared-lib/signal/measuring-curve.ts';
import { breakaway } from '../../../../shared-lib/trial/breakaway.ts';
import { endurance } from '../../../../shared-lib/trial/endurance.ts';
import { findEarlyStopOfStep } from '../../../../shared-lib/trial/find-early-stop.ts';
import { findOnsetOfStep } from '../../../../shared-lib/trial/find-onset.ts';
import { kindMeasures, stallTorqueNm } from '../../../../shared-lib/trial/kind-measures.ts';
import { sustainedTorqueNm } from '../../../../shared-lib/trial/measures.ts';
import type { Kind, Step } from '../../../../shared-lib/trial/step-model.ts';
import type { Breakaway, Endurance, Measure } from '../../../../shared-lib/trial/trial-model.ts';
import type { TrialRun } from '../../../../shared-lib/trial/trial-run.ts';
import { createNoise, sampleRecord, synthesise } from './synthetic-run.ts';

const RATE_HZ = 1000;
const LEVEL_NM = 10;

function stepOf(kind: Kind, plannedS: number): Step {
  return { toolName: 'Hollin H5', kind, direction: 'reverse', plannedS };
}

function valueOf(measure: Measure): number {
  if ('refused' in measure) throw new Error(measure.refused);
  return measure.value;
}
function resultOf<Found extends Breakaway | Endurance>(found: Found): Exclude<Found, { refused: string }> {
  if ('refused' in found) throw new Error(found.refused);
  return found as Exclude<Found, { refused: string }>;
}
function refusalOf(found: Measure | Breakaway | Endurance): string {
  return 'refused' in found ? found.refused : `not refused: ${JSON.stringify(found)}`;
}

/** The run of a record whose onset is found by the definition of its kind. */
function runOf(
  kind: Kind,
  plannedS: number,
  torqueNm: (timeS: number) => number,
  change: (rawNm: Float64Array) => Float64Array = (rawNm) => rawNm,
  rateHz = RATE_HZ,
): TrialRun {
  const rawNm = change(sampleRecord({ rateHz, plannedS, torqueNm }));
  const windowSamples = measuringWindowSamples(rateHz) ?? Number.NaN;
  const measuringNm = measuringCurve(rawNm, windowSamples);
  const onsetIndex = findOnsetOfStep(measuringNm, stepOf(kind, plannedS), LEVEL_NM, rateHz);
  if (onsetIndex === null) throw new Error('There is no onset.');
  const shape = synthesise({ rateHz, plannedS, torqueNm, onsetS: 0 });
  return { ...shape, rawNm, measuringNm, onsetIndex };
}

describe('onset of a breakaway', () => {
  it('is where the curve has left the standing torque by the level in the direction of the step', () => {
    // A ramp: a centred mean of a straight line is the line itself, so the level is crossed at 10 N·m / 100 N·m per s.
    const run = runOf('breakaway', 2, (t) => -300 + 100 * Math.max(0, t));
    expect(run.onsetIndex / RATE_HZ - 1).toBeCloseTo(0.1, 3);
  });

  it('is not found where the torque moves the other way, nor where the first half second is lost', () => {
    const windowSamples = measuringWindowSamples(RATE_HZ) ?? Number.NaN;
    const find = (rawNm: Float64Array) =>
      findOnsetOfStep(measuringCurve(rawNm, windowSamples), stepOf('breakaway', 2), LEVEL_NM, RATE_HZ);
    const record = (torqueNm: (t: number) => number) =>
      sampleRecord({ rateHz: RATE_HZ, plannedS: 2, torqueNm });
    expect(find(record((t) => (t < 0 ? -300 : -420)))).toBeNull();
    expect(find(record((t) => (t < 0 ? -300 : 0)).fill(Number.NaN, 0, 600))).toBeNull();
    expect(find(record((t) => (t < 0 ? -300 : 0)))).not.toBeNull();
  });
});

describe('breakaway', () => {
  it('gives the preload and when it was gone, in closed form on a ramp', () => {
    // From -300 up to 0 at 100 N·m/s: a tenth of the preload, 30 N·m, is left after 2.7 s; onset lies at 0.1 s.
    const run = runOf('breakaway', 4, (t) => Math.min(0, -300 + 100 * Math.max(0, t)));
    const { preloadNm, releasedAtS } = resultOf(breakaway(run, LEVEL_NM));
    expect(preloadNm).toBeCloseTo(300, 9);
    expect(releasedAtS).toBeCloseTo(2.6, 3);
  });

  it('says that a preload was not released which is there again once the tool is still', () => {
    // Blows whose mean hides the preload until just after the planned time.
    const run = runOf('breakaway', 2, (t) => (t > 0 && t < 2.2 ? 20 : -300));
    expect(resultOf(breakaway(run, LEVEL_NM)).releasedAtS).toBeNull();
  });

  it('is released for good only: a preload that stands again in the run counts from its last end', () => {
    const run = runOf('breakaway', 3, (t) => (t < 0 || (t > 0.5 && t < 1) ? -300 : 20));
    // The mean of 100 ms is late by up to half of them, and onset early.
    const { releasedAtS } = resultOf(breakaway(run, LEVEL_NM));
    expect(Math.abs((releasedAtS ?? Number.NaN) - 1)).toBeLessThan(0.1);
  });

  it('is not undone by a rig that swings back for less than the hold', () => {
    const run = runOf('breakaway', 2, (t) => (t < 0 ? -300 : t > 0.5 && t < 0.55 ? -300 : 0));
    expect(resultOf(breakaway(run, LEVEL_NM)).releasedAtS).toBeLessThan(0.1);
  });

  it('may swing to the other side as it is released', () => {
    const swing = (t: number): number => (t < 0 ? -300 : 250 * Math.exp(-t / 0.1) * Math.cos(60 * t));
    expect(resultOf(breakaway(runOf('breakaway', 2, swing), LEVEL_NM)).releasedAtS).toBeLessThan(0.1);
  });

  it('bears noise and lost samples', () => {
    const noise = createNoise(5);
    const run = runOf(
      'breakaway',
      2,
      (t) => (t < 1 ? -300 + (t > 0 ? 30 : 0) : 0) + 5 * noise(),
      (rawNm) => rawNm.fill(Number.NaN, 400, 420).fill(Number.NaN, 2500, 2530),
    );
    const { preloadNm, releasedAtS } = resultOf(breakaway(run, LEVEL_NM));
    // The standard error of the mean of some 900 samples with s = 5 is 0.17.
    expect(Math.abs(preloadNm - 300)).toBeLessThan(0.7);
    expect(Math.abs((releasedAtS ?? Number.NaN) - (1 - (run.onsetIndex / RATE_HZ - 1)))).toBeLessThan(0.06);
  });

  it('is refused without a preload worth the name, and where the record ends while it stands', () => {
    const small = runOf('breakaway', 2, (t) => (t < 0 ? -25 : 60));
    expect(refusalOf(breakaway(small, LEVEL_NM))).toContain('at least 30.0\u202fN·m');
    const wrongSide = runOf('breakaway', 2, (t) => (t < 0 ? 200 : 260));
    expect(refusalOf(breakaway(wrongSide, LEVEL_NM))).toContain('\u2212200.0\u202fN·m');
    const cut = runOf(
      'breakaway',
      5,
      (t) => (t < 0 ? -300 : -200),
      (rawNm) => rawNm.slice(0, 2500),
    );
    expect(refusalOf(breakaway(cut, LEVEL_NM))).toMatch(/^The record ends 1\.5\d.s after onset/);
  });
});

describe('stall torque', () => {
  it('is the highest 100 ms mean of a torque that lets go, by its closed form', () => {
    // 100 N·m/s up to 80 N·m at 0.8 s, then gone: the highest mean of 101 samples ends with the last of the ramp, and lies
    // half a window under its top. The centred mean of a line is the line at its centre.
    const run = runOf('stall', 3, (t) => (t > 0 && t <= 0.8 ? 100 * t : 0));
    expect(valueOf(stallTorqueNm(run))).toBeCloseTo(80 - 100 * 0.05, 6);
  });

  it('is the level of a tool that stands, whatever its noise', () => {
    const noise = createNoise(3);
    const run = runOf('stall', 2, (t) => (t > 0 ? 120 * (1 - Math.exp(-t / 0.1)) : 0) + 3 * noise());
    // The greatest of some 20 independent means with a standard error of 0.3 lies two of them above the level.
    expect(Math.abs(valueOf(stallTorqueNm(run)) - 120.6)).toBeLessThan(0.6);
  });

  it('is refused without an onset, and where no value of the run is there', () => {
    const facts = {
      rawNm: new Float64Array(3000),
      measuringNm: new Float64Array(3000),
      nominalRateHz: RATE_HZ,
      sampleRateHz: RATE_HZ,
      onsetLevelNm: LEVEL_NM,
      sustained: { refused: 'No onset.' },
      earlyStopS: null,
    };
    const none = kindMeasures(null, stepOf('stall', 2), facts);
    expect(none.stallTorqueNm && refusalOf(none.stallTorqueNm)).toContain('No onset was found');
    const slow = kindMeasures(null, stepOf('stall', 2), { ...facts, measuringNm: null, nominalRateHz: 20 });
    expect(slow.stallTorqueNm && refusalOf(slow.stallTorqueNm)).toContain('under 36\u202fSa/s');
    const run = runOf('stall', 2, (t) => (t > 0 ? 120 : 0));
    const lost = { ...run, measuringNm: run.measuringNm.map(() => Number.NaN) };
    expect(refusalOf(stallTorqueNm(lost))).toContain('too many samples are lost');
  });
});

describe('endurance', () => {
  const found = (run: TrialRun): Endurance => {
    const stopS = findEarlyStopOfStep(run, stepOf('endurance', run.plannedS), sustainedTorqueNm(run));
    return endurance(run, stopS);
  };
  /** From 200 N·m down by 4 N·m/s, or until it stops. */
  const fading = (stopsS: number) => (t: number) => (t > 0 && t < stopsS ? 200 - 4 * t : 0);

  it('gives the fade of a straight line in closed form', () => {
    const run = runOf('endurance', 20, fading(30));
    const { firstNm, lastNm, fadePercent, fadePercentPerMin, under80PercentS, pulledS } = resultOf(
      found(run),
    );
    // Over a falling line a hold of 250 ms that lies first in its tenth is the highest: its least value is its last. The
    // first begins where the window has come off the step, 50 ms after it, the last one where its tenth does.
    expect(pulledS).toBe(20);
    expect(firstNm).toBeCloseTo(200 - 4 * (0.05 + 0.249), 1);
    expect(lastNm).toBeCloseTo(200 - 4 * (18 - 0.05 + 0.249), 0);
    expect(fadePercent).toBeCloseTo(100 * (1 - lastNm / firstNm), 9);
    expect(fadePercentPerMin).toBeCloseTo((100 * 60 * 4) / firstNm, 6);
    // 80 % of the first is reached after (200 - 0.8 firstNm) / 4 s; onset lies up to 50 ms before the step.
    expect(Math.abs((under80PercentS ?? 0) - (200 - 0.8 * firstNm) / 4)).toBeLessThan(0.06);
  });

  it('takes the time up to the stop where the tool stops by itself, and not the stopping for a fade', () => {
    const run = runOf('endurance', 20, fading(8));
    const { pulledS, lastNm, under80PercentS } = resultOf(found(run));
    expect(Math.abs(pulledS - 8)).toBeLessThan(0.12);
    expect(Math.abs(lastNm - (200 - 4 * 7.5))).toBeLessThan(2);
    expect(under80PercentS).toBeNull();
  });

  it('takes a torque that fades to a fifth for a tool that goes on', () => {
    const run = runOf('endurance', 20, (t) => (t > 0 ? Math.max(40, 200 - 20 * t) : 0));
    const { pulledS, fadePercent } = resultOf(found(run));
    expect(pulledS).toBe(20);
    expect(fadePercent).toBeGreaterThan(75);
  });

  it('bears noise, and blows that come back for a moment', () => {
    const noise = createNoise(9);
    const run = runOf('endurance', 30, (t) => fading(40)(t) + (t > 25 && t < 25.1 ? 150 : 0) + 10 * noise());
    const { fadePercentPerMin, under80PercentS } = resultOf(found(run));
    // The standard error of the slope of 100 means with s = 1 over 27 s is some 0.013 N·m/s.
    expect(Math.abs(fadePercentPerMin - 120)).toBeLessThan(2);
    expect(Math.abs((under80PercentS ?? 0) - 10)).toBeLessThan(1.5);
  });

  it('is refused where the tool pulled for under 5 s, and where a tenth is lost', () => {
    expect(refusalOf(found(runOf('endurance', 20, fading(4))))).toMatch(/^The tool pulled for 4\.0\d.s/);
    const gap = runOf('endurance', 20, fading(30), (rawNm) => rawNm.fill(Number.NaN, 18_700, 21_500));
    expect(refusalOf(found(gap))).toContain('250 ms');
  });
});

describe('early stop by kind', () => {
  const stopS = (kind: Kind, run: TrialRun): number | null =>
    findEarlyStopOfStep(run, stepOf(kind, run.plannedS), sustainedTorqueNm(run));

  it('is torque under half in tighten and stall, under a tenth in endurance, and nothing in a breakaway', () => {
    const half = synthesise({ rateHz: RATE_HZ, plannedS: 5, torqueNm: (t) => (t < 2 ? 100 : 40), onsetS: 0 });
    expect(stopS('tighten', half)).toBeCloseTo(2, 1);
    expect(stopS('stall', half)).toBeCloseTo(2, 1);
    expect(stopS('endurance', half)).toBeNull();
    expect(stopS('breakaway', half)).toBeNull();
    const gone = synthesise({ rateHz: RATE_HZ, plannedS: 5, torqueNm: (t) => (t < 2 ? 100 : 5), onsetS: 0 });
    expect(stopS('endurance', gone)).toBeCloseTo(2, 1);
  });
});
