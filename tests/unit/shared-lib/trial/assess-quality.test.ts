import { describe, expect, it } from 'vitest';
import {
  assessQuality,
  overloadLimitNm,
  type QualityFacts,
} from '../../../../shared-lib/trial/assess-quality.ts';
import type { FaultEvent, QualityReason } from '../../../../shared-lib/trial/trial-model.ts';

const clean: QualityFacts = {
  kind: 'tighten',
  direction: 'forward',
  nominalRateHz: 1000,
  sampleRateHz: 1000,
  onsetLevelNm: 5,
  hasOnset: true,
  plannedS: 10,
  recordedS: 11,
  onsetMovedS: null,
  onsetGapS: null,
  slotsInRun: 10_000,
  lostSlotsInRun: 0,
  railSamples: 0,
  zeroShiftNm: 0,
  capacityNm: 500,
  overloadLimitNm: 450,
  largestReadingNm: 400,
  beyondCalibrationNm: null,
  isSenseCalibrated: true,
  calibrationDoubts: [],
  earlyStopS: null,
  wrongDirectionS: null,
  breakaway: null,
  plannedPreloadNm: null,
  stuckReading: null,
  restedS: null,
  plannedRestS: null,
  faults: [],
};
const released: Partial<QualityFacts> = {
  kind: 'breakaway',
  direction: 'reverse',
  breakaway: { preloadNm: 200, releasedAtS: 1.2 },
};

const stuck = { fromS: 1.25, durationS: 2, torqueNm: 300 };

const fault = (kind: FaultEvent['kind'], sentence: string): FaultEvent => ({
  kind,
  at: '2026-01-01T00:00:00.000Z',
  atS: 2,
  count: 1,
  sentence,
});

describe('assessQuality', () => {
  it('finds nothing to say about a clean trial', () => {
    expect(assessQuality(clean)).toEqual({ verdict: 'good', reasons: [] });
  });

  it.each<[string, Partial<QualityFacts>, QualityReason['severity'], string]>([
    [
      'lostSamples',
      { lostSlotsInRun: 11 },
      'look',
      "0.11 % of the run's samples are lost (11 of 10\u202f000)",
    ],
    ['lostSamples', { lostSlotsInRun: 200 }, 'look', 'our limit is 0.1 %'],
    ['lostSamples', { lostSlotsInRun: 201 }, 'notUsable', "2.01 % of the run's samples are lost"],
    ['rails', { railSamples: 1 }, 'notUsable', '1 sample stands at the end of the converter'],
    [
      'zeroShift',
      { zeroShiftNm: 2.6 },
      'look',
      '2.60\u202fN·m (1.92\u202fft·lbf) over the trial, 0.52 % of capacity; our limit is 0.5 %',
    ],
    ['zeroShift', { zeroShiftNm: 10.1 }, 'notUsable', '2.02 % of capacity; our limit is 2.0 %'],
    ['zeroNotMeasured', { zeroShiftNm: null }, 'look', 'was not measured'],
    ['zeroNotJudged', { zeroShiftNm: 2, capacityNm: null }, 'look', 'Zero moved by 2.00\u202fN·m'],
    [
      'overload',
      { largestReadingNm: 450.2 },
      'notUsable',
      'A reading of 450.2\u202fN·m (332.1\u202fft·lbf) passed the limit of 450.0\u202fN·m (331.9\u202fft·lbf)',
    ],
    ['senseNotCalibrated', { isSenseCalibrated: false }, 'notUsable', 'no load in the sense of this step'],
    [
      'beyondCalibration',
      { beyondCalibrationNm: -3.2 },
      'look',
      'A reading of \u22123.2\u202fN·m (\u22122.4\u202fft·lbf) lies outside',
    ],
    [
      'earlyStop',
      { earlyStopS: 3.21 },
      'look',
      'fell away 3.21\u202fs after onset; 10.0\u202fs were planned',
    ],
    [
      'recordShort',
      { recordedS: 4.5 },
      'notUsable',
      'ends 4.50\u202fs after onset; 10.0\u202fs were planned',
    ],
    [
      'rateOffNominal',
      { sampleRateHz: 1021 },
      'look',
      '1021.0\u202fSa/s, 2.1 % above its nominal 1000\u202fSa/s',
    ],
    ['rateOffNominal', { sampleRateHz: 979 }, 'look', '2.1 % below'],
    ['noOnset', { hasOnset: false, recordedS: 0 }, 'notUsable', 'onset level of 5.0\u202fN·m'],
    [
      'rateTooLow',
      { nominalRateHz: 20, sampleRateHz: 20, hasOnset: false },
      'notUsable',
      'at least 36\u202fSa/s',
    ],
    [
      'calibrationExpired',
      { calibrationDoubts: ['It held up to a day.', 'It held for 2 trials.'] },
      'look',
      'It held up to a day. It held for 2 trials.',
    ],
    [
      'wrongDirection',
      { wrongDirectionS: 2.5 },
      'notUsable',
      '2.50\u202fs after onset the torque went the wrong way for a forward run',
    ],
    [
      'noPreload',
      { ...released, breakaway: { refused: 'Before onset 2.0 stood.' } },
      'notUsable',
      'Before onset 2.0 stood.',
    ],
    [
      'preloadOff',
      { ...released, plannedPreloadNm: 230 },
      'look',
      'The preload stood at 200.0\u202fN·m (147.5\u202fft·lbf); 230.0\u202fN·m (169.6\u202fft·lbf) were planned, and more than 10 % off',
    ],
    [
      'senseNotCalibrated',
      { ...released, isSenseCalibrated: false },
      'notUsable',
      'no load in one of the senses',
    ],
    [
      'restCut',
      { restedS: 31.2, plannedRestS: 90 },
      'look',
      'had rested for 31\u202fs before this pull; the plan wants 90\u202fs',
    ],
    ['computerSlept', { faults: [fault('computerSlept', 'It slept for 9 s.')] }, 'look', 'It slept for 9 s.'],
    ['segmentBreak', { faults: [fault('segmentBreak', 'The time jumped.')] }, 'look', 'The time jumped.'],
    [
      'stuck',
      { stuckReading: { ...stuck, atRest: 'flickers' } },
      'notUsable',
      'From 1.25\u202fs after onset the same count came again and again for 2.00\u202fs, at 300.0\u202fN·m (221.3\u202fft·lbf), though it flickers at rest',
    ],
    [
      'stuck',
      { stuckReading: { ...stuck, atRest: 'unknown' } },
      'look',
      'How still it is at rest is not in the record',
    ],
    [
      'stuck',
      { stuckReading: { ...stuck, atRest: 'still' } },
      'look',
      'It is as still at rest, so a torque that stands looks alike',
    ],
    ['deviceFlag', { faults: [fault('deviceFlag', 'It reports: low.')] }, 'look', 'It reports: low.'],
    [
      'onsetMoved',
      { onsetMovedS: -0.751 },
      'look',
      'lies 0.75\u202fs before the one by which the run was timed',
    ],
    ['onsetMoved', { onsetMovedS: 0.101 }, 'look', 'lies 0.10\u202fs after the one'],
    ['onsetInGap', { onsetGapS: 0.15 }, 'look', 'there is no torque for 0.150\u202fs up to it'],
    ['silence', { faults: [fault('silence', 'Nothing came.')] }, 'look', 'Nothing came.'],
  ])('gives the reason %s for %o', (code, change, severity, sentence) => {
    const { verdict, reasons } = assessQuality({ ...clean, ...change });
    expect(reasons).toEqual([{ code, severity, sentence: expect.stringContaining(sentence) as string }]);
    expect(verdict).toBe(severity);
  });

  it.each<[string, Partial<QualityFacts>]>([
    ['0.1 % of lost samples', { lostSlotsInRun: 10 }],
    ['a run of no samples, as of a trial without a pull', { slotsInRun: 0 }],
    ['a zero shift of 0.5 % of capacity', { zeroShiftNm: 2.5 }],
    ['a reading on the limit', { largestReadingNm: 450 }],
    ['a rate 2 % off', { sampleRateHz: 980 }],
    ['a clutch that let go', { kind: 'stall', earlyStopS: 0.8, recordedS: 1.9 }],
    ['a charge that ran out', { kind: 'endurance', earlyStopS: 4.2, recordedS: 8 }],
    ['a breakaway that was released', released],
    ['a breakaway that was not', { ...released, breakaway: { preloadNm: 200, releasedAtS: null } }],
    ['torque to either side in a breakaway', { ...released, wrongDirectionS: 0.4 }],
    ['a preload within a tenth of the plan', { ...released, plannedPreloadNm: 182 }],
    ['a rest as planned', { restedS: 90, plannedRestS: 90 }],
    ['a longer rest', { restedS: 900, plannedRestS: 90 }],
    ['the first pull, which nothing was before', { restedS: null, plannedRestS: null }],
    ['an onset that moved by no more than its hold', { onsetMovedS: -0.1 }],
    ['a stretch of one count at rest, which only its event tells of', { faults: [fault('stuck', 'Still.')] }],
    ['no limit to pass', { overloadLimitNm: null, largestReadingNm: 1e5 }],
    [
      'faults that the curve itself tells of',
      { faults: [fault('sequenceGap', '3 lost.'), fault('badLine', 'One.')] },
    ],
  ])('lets pass %s', (_, change) => {
    expect(assessQuality({ ...clean, ...change }).verdict).toBe('good');
  });

  it('takes 36 Sa/s, the least at which there is a measuring curve', () => {
    const slow = { ...clean, nominalRateHz: 36, sampleRateHz: 36, slotsInRun: 360 };
    expect(assessQuality(slow).verdict).toBe('good');
  });

  it('leaves a shift of exactly 2 % of the capacity, which is not above the limit, usable', () => {
    expect(assessQuality({ ...clean, zeroShiftNm: 10 }).verdict).toBe('look');
  });

  it.each(['stall', 'endurance'] as const)(
    'does not take a record of kind %s for whole that was cut while the tool pulled',
    (kind) => {
      const { reasons } = assessQuality({ ...clean, kind, recordedS: 4.5 });
      expect(reasons.map(({ code }) => code)).toEqual(['recordShort']);
    },
  );

  it('takes the worst of several reasons and says how often a fault came again', () => {
    const { verdict, reasons } = assessQuality({
      ...clean,
      zeroShiftNm: null,
      railSamples: 3,
      faults: [fault('silence', 'Nothing came for 300 ms.'), fault('silence', 'x'), fault('silence', 'y')],
    });
    expect(verdict).toBe('notUsable');
    expect(reasons.map((reason) => reason.code)).toEqual(['rails', 'zeroNotMeasured', 'silence']);
    expect(reasons[2]?.sentence).toBe('Nothing came for 300 ms. The same happened 2 more times.');
  });

  it('names each flag of the amplifier once, with how often it came again', () => {
    const told = ['Low.', 'Fails.', 'Low.'].map((sentence) => fault('deviceFlag', sentence));
    const { reasons } = assessQuality({ ...clean, faults: told });
    expect(reasons.map(({ sentence }) => sentence)).toEqual(['Low. The same happened once more. Fails.']);
  });
});

describe('overloadLimitNm', () => {
  it('is the lower of what is known', () => {
    expect(overloadLimitNm({ capacityNm: 500, rigLimitNm: 400 })).toBe(400);
    expect(overloadLimitNm({ capacityNm: 500, rigLimitNm: null })).toBe(500);
    expect(overloadLimitNm({ capacityNm: null, rigLimitNm: null })).toBeNull();
  });
});
