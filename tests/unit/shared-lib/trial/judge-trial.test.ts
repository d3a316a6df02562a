import { describe, expect, it } from 'vitest';
import { evaluateTrial, type TrialEvaluationInput } from '../../../../shared-lib/trial/evaluate-trial.ts';
import { sensesOf } from '../../../../shared-lib/trial/judge-trial.ts';
import type { FaultKind } from '../../../../shared-lib/trial/trial-model.ts';
import { calibration, rise, trialOf, ZERO_COUNTS } from './synthetic-trial.ts';

/** The reasons that a record and its conditions come to, with how bad they are. */
function reasonsOf(input: TrialEvaluationInput): string[] {
  return evaluateTrial(input).quality.reasons.map(({ code, severity }) => `${code}: ${severity}`);
}

const plain = trialOf();
/** No tool holds a torque to the count. */
const ripple = (t: number): number => 0.1 * Math.sin(2 * Math.PI * 7 * t);
const held = (level: number) => (t: number) => (t > 0 ? level * (1 - Math.exp(-t / 0.2)) + ripple(t) : 0);

/** One sample at the lower end of a converter that ends under the transducer's capacity. */
function withRail(): TrialEvaluationInput {
  const { conditions } = plain;
  const counts = plain.counts.slice();
  counts[0] = -(2 ** 22);
  return {
    ...plain,
    counts,
    conditions: { ...conditions, profile: { ...conditions.profile, converterBits: 23 } },
  };
}
function withGap(length: number, offset = 3000): TrialEvaluationInput {
  return {
    ...plain,
    gaps: [{ offset, length }],
    counts: plain.counts.slice().fill(0, offset, offset + length),
  };
}
function withFault(
  kind: FaultKind,
  count = 1,
  conditions: Partial<TrialEvaluationInput['conditions']> = {},
  atS = 3,
): TrialEvaluationInput {
  return {
    ...withConditions(conditions),
    faults: [{ kind, at: '2026-01-01T00:00:00.000Z', atS, count, sentence: 'It happened.' }],
  };
}
/** The same count from a slot on; before the pull it flickers by so much, from sample to sample. */
function withStillCounts(
  { from, length, flickerAtRest }: { from: number; length: number; flickerAtRest: number },
  trial = plain,
): TrialEvaluationInput {
  const counts = trial.counts.map((count, index) =>
    index < 900 ? count + (index % 2) * flickerAtRest : count,
  );
  return { ...trial, counts: counts.fill(counts[from] ?? 0, from, from + length) };
}
function withConditions(changes: Partial<TrialEvaluationInput['conditions']>): TrialEvaluationInput {
  return { ...plain, conditions: { ...plain.conditions, ...changes } };
}
/** From a preload against the step to nothing, at 2 s after the record's first second. */
function breakawayOf(preloadNm: number, plannedPreloadNm: number | null = null): TrialEvaluationInput {
  const trial = trialOf({
    kind: 'breakaway',
    direction: 'reverse',
    torqueNm: (t) => (t < 0 ? -preloadNm : t < 2 ? -preloadNm + 20 + ripple(t) : 0),
  });
  return { ...trial, step: { ...trial.step, preloadNm: plannedPreloadNm } };
}

describe('every reason to doubt a trial', () => {
  it.each<[string, TrialEvaluationInput]>([
    ['lostSamples: look', withGap(40)],
    ['lostSamples: notUsable', withGap(140)],
    ['rails: notUsable', withRail()],
    ['silence: look', withFault('silence')],
    ['stuck: notUsable', withStillCounts({ from: 3000, length: 1001, flickerAtRest: 2 })],
    ['stuck: look', withStillCounts({ from: 3000, length: 1001, flickerAtRest: 1 })],
    ['deviceFlag: look', withFault('deviceFlag')],
    ['lostSamples: look', withFault('badLine', 40, { clockSource: 'arrival' })],
    ['lostSamples: notUsable', withFault('badChecksum', 140, { clockSource: 'arrival' })],
    ['onsetMoved: look', { ...plain, liveOnsetSlot: 1750 }],
    // The pull begins at slot 1000, and the first torque after the gap is taken for its onset, live as in the record.
    ['onsetInGap: look', { ...withGap(150, 950), liveOnsetSlot: 1100 }],
    ['rateOffNominal: look', { ...plain, sampleRateHz: 1030 }],
    ['zeroShift: look', { ...plain, zeroAfterCounts: ZERO_COUNTS + 30_000 }],
    ['zeroShift: notUsable', { ...plain, zeroAfterCounts: ZERO_COUNTS + 150_000 }],
    ['zeroNotMeasured: look', { ...plain, zeroAfterCounts: null }],
    ['earlyStop: look', trialOf({ torqueNm: (t) => (t < 3 ? rise(t) : 0) })],
    ['recordShort: notUsable', { ...plain, counts: plain.counts.slice(0, 3000) }],
    ['wrongDirection: notUsable', trialOf({ torqueNm: (t) => (t > 3 && t < 3.5 ? -100 : rise(t)) })],
    ['calibrationExpired: look', { ...plain, calibrationDoubts: ['It held up to yesterday.'] }],
    ['noOnset: notUsable', trialOf({ torqueNm: () => 1 })],
    ['rateTooLow: notUsable', trialOf({ rateHz: 20 })],
    ['computerSlept: look', withFault('computerSlept')],
    ['segmentBreak: look', withFault('segmentBreak')],
    ['restCut: look', withConditions({ restedS: 12, plannedRestS: 90 })],
    ['noPreload: notUsable', breakawayOf(14)],
    ['preloadOff: look', breakawayOf(300, 400)],
    [
      'overload: notUsable',
      withConditions({ transducer: { ...plain.conditions.transducer, rigLimitNm: 200 } }),
    ],
    [
      'beyondCalibration: look',
      {
        ...plain,
        calibration: { ...calibration, forward: { gainNmPerCount: 1e-4, validToNm: 200, curve: null } },
      },
    ],
    ['senseNotCalibrated: notUsable', { ...plain, calibration: { ...calibration, forward: null } }],
    [
      'zeroNotJudged: look',
      withConditions({ transducer: { ...plain.conditions.transducer, capacityNm: null } }),
    ],
  ])('is brought about, alone: %s', (reason, input) => {
    expect(reasonsOf(input)).toEqual([reason]);
  });

  it('is no count that stands at rest, or for less than a second', () => {
    const still = { flickerAtRest: 2, from: 3000, length: 1000 };
    expect(reasonsOf(withStillCounts(still))).toEqual([]);
    const stopped = trialOf({ torqueNm: (t) => (t < 3 ? rise(t) : 0) });
    expect(reasonsOf(withStillCounts({ ...still, from: 4200, length: 2500 }, stopped))).toEqual([
      'earlyStop: look',
    ]);
    expect(reasonsOf(withStillCounts({ ...still, from: 6100, length: 900 }))).toEqual([]);
    const released = trialOf({
      kind: 'breakaway',
      direction: 'reverse',
      torqueNm: (t) => (t < 0 ? -300 : 0),
    });
    expect(reasonsOf(released)).toEqual([]);
  });

  it('is a preload that stands to the count once the tool has left it, as of an amplifier that no longer reads', () => {
    const stays = (t: number): number => (t < 0 ? -300 : t < 1 ? -280 + ripple(t) : -290);
    const trial = trialOf({ kind: 'breakaway', direction: 'reverse', torqueNm: stays });
    expect(reasonsOf(trial)).toEqual(['stuck: look']);
  });

  it('is a count that stands from shortly before the planned end into the tail, which the last figures rest on', () => {
    const still = { flickerAtRest: 2, from: 5700, length: 1301 };
    expect(reasonsOf(withStillCounts(still))).toEqual(['stuck: notUsable']);
  });

  it('is no unreadable line outside of the run, nor where a number tells of it as a gap', () => {
    const arrival = { clockSource: 'arrival' } as const;
    expect(reasonsOf(withFault('badLine', 40, arrival, 0.5))).toEqual([]);
    expect(reasonsOf(withFault('badLine', 40, arrival, 6.5))).toEqual([]);
    expect(reasonsOf(withFault('badLine', 5, arrival))).toEqual([]);
    expect(reasonsOf(withFault('badLine', 40))).toEqual([]);
  });

  it('is no gap before the pull, from whose end on torque is there for onset to be seen', () => {
    expect(reasonsOf(withGap(150, 700))).toEqual([]);
  });

  it('is no onset within its hold of the one found live, which a touch before the pull is not', () => {
    expect(reasonsOf({ ...plain, liveOnsetSlot: 1000 })).toEqual([]);
    const touched = trialOf({ torqueNm: (t) => rise(t) + (t > -0.83 && t < -0.69 ? 20 : 0) });
    expect(reasonsOf({ ...touched, liveOnsetSlot: 1000 })).toEqual(['onsetMoved: look']);
  });

  it('is none for a trial of each kind that went as it should', () => {
    const letsGo = (t: number): number => (t < 1 ? held(80)(t) : 0);
    expect(reasonsOf(trialOf())).toEqual([]);
    expect(reasonsOf(trialOf({ kind: 'stall', torqueNm: letsGo }))).toEqual([]);
    expect(reasonsOf(trialOf({ kind: 'endurance', plannedS: 8, torqueNm: held(200) }))).toEqual([]);
    expect(reasonsOf(breakawayOf(300))).toEqual([]);
    expect(reasonsOf(breakawayOf(300, 310))).toEqual([]);
  });

  it('does not hold a stall for short that ends after its clutch let go, but one that was cut before', () => {
    const stall = trialOf({ kind: 'stall', torqueNm: (t) => (t < 1 ? held(80)(t) : 0) });
    expect(reasonsOf({ ...stall, counts: stall.counts.slice(0, 3000) })).toEqual([]);
    expect(reasonsOf({ ...stall, counts: stall.counts.slice(0, 1800) })).toEqual(['recordShort: notUsable']);
  });

  it('gives a breakaway no sustained torque, which would be that of a preload against the step', () => {
    const { sustainedTorqueNm, breakaway } = evaluateTrial(breakawayOf(300));
    expect(sustainedTorqueNm).toEqual({ refused: expect.stringContaining('preload') as string });
    expect(breakaway).toMatchObject({ preloadNm: expect.closeTo(300, 6) as number });
  });

  it('lets a breakaway swing to either side', () => {
    const swing = trialOf({
      kind: 'breakaway',
      direction: 'reverse',
      torqueNm: (t) => (t < 0 ? -300 : t < 0.4 ? 80 : t < 0.7 ? -60 : 0),
    });
    expect(reasonsOf(swing)).toEqual([]);
  });

  it('wants both senses calibrated for a breakaway, which goes through zero', () => {
    const oneSense = { ...calibration, forward: null };
    expect(reasonsOf({ ...breakawayOf(300), calibration: oneSense })).toContain(
      'senseNotCalibrated: notUsable',
    );
    const step = { toolName: 'Hollin H5', direction: 'reverse', plannedS: 5 } as const;
    expect(sensesOf({ ...step, kind: 'breakaway' }, 1)).toEqual(['reverse', 'forward']);
    expect(sensesOf({ ...step, kind: 'tighten' }, 1)).toEqual(['reverse']);
    expect(sensesOf({ ...step, kind: 'tighten' }, -1)).toEqual(['forward']);
  });
});
