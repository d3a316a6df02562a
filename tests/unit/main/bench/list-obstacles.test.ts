import { describe, expect, it } from 'vitest';
import { listObstacles, type BenchReadiness } from '../../../../main/bench/list-obstacles.ts';
import { connectedAmplifier } from '../../../helpers/amplifier-status.ts';

const sense = { gainNmPerCount: 0.001, validToNm: 1000, curve: null };
const ready: BenchReadiness = {
  amplifier: { ...connectedAmplifier, measuredRateHz: 80.01 },
  transducer: {
    id: 'transducer-1',
    name: 'Transducer 1',
    isSimulated: false,
    capacityNm: 1000,
    rigLimitNm: null,
    rigUnloading: 'holds',
    rigRevision: '',
    senseSign: 1,
    senseConfirmedAt: '2026-01-01T00:00:00.000Z',
    activeCalibrationId: 'calibration-1',
  },
  calibration: {
    id: 'calibration-1',
    transducerId: 'transducer-1',
    amplifierId: null,
    label: 'Bench weights',
    method: 'direct',
    forward: sense,
    reverse: sense,
    enteredUncertaintyPercent: 0.5,
    input: null,
    operator: '',
    note: '',
    createdAt: '2026-01-01T00:00:00.000Z',
    supersededAt: null,
    supersedeReason: null,
    runId: null,
    validUntil: null,
    validForTrials: null,
  },
  calibratedWith: null,
  hasZero: true,
  isSafetyConfirmed: true,
  step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 },
  sheet: null,
};
const { amplifier, transducer, calibration } = ready;
if (!transducer || !calibration) throw new Error('The ready bench is incomplete');

const remedies = (changes: Partial<BenchReadiness>): string[] =>
  listObstacles({ ...ready, ...changes }).map(({ code, remedy }) => `${code} -> ${remedy}`);

describe('what stands in the way of a trial', () => {
  it('is nothing when all is there', () => {
    expect(remedies({})).toEqual([]);
  });

  it.each<[string, Partial<BenchReadiness>, string[]]>([
    [
      'no amplifier',
      { amplifier: { ...amplifier, link: 'disconnected' } },
      ['amplifier-not-connected -> setup'],
    ],
    ['a failed port', { amplifier: { ...amplifier, link: 'failed' } }, ['amplifier-not-connected -> setup']],
    [
      'a silent amplifier',
      {
        amplifier: {
          ...amplifier,
          link: 'silent',
          problem: { code: 'amplifier-silent', sentence: 'No line comes.' },
        },
      },
      ['amplifier-silent -> setup'],
    ],
    [
      'an amplifier just being opened',
      { amplifier: { ...amplifier, link: 'connecting' } },
      ['amplifier-not-connected -> none'],
    ],
    [
      'a rate without a measuring curve',
      { amplifier: { ...amplifier, nominalRateHz: 10, measuredRateHz: 10 } },
      ['rate-too-low -> setup'],
    ],
    [
      'a rate that is another one than Setup says',
      { amplifier: { ...amplifier, measuredRateHz: 1000 } },
      ['rate-not-as-set -> setup'],
    ],
    ['no capacity', { transducer: { ...transducer, capacityNm: null } }, ['transducer-incomplete -> setup']],
    ['no calibration', { calibration: null }, ['calibration-missing -> calibrate']],
    [
      'a calibration that was made with another amplifier',
      { calibratedWith: 'Amplifier 1', hasZero: false },
      ['calibration-of-another-amplifier -> calibrate'],
    ],
    [
      'a calibration without the sense of the step',
      { calibration: { ...calibration, forward: null } },
      ['calibration-sense-missing -> calibrate'],
    ],
    [
      'a breakaway without the sense of its preload',
      {
        calibration: { ...calibration, reverse: null },
        step: { ...ready.step, kind: 'breakaway', plannedS: 5 },
      },
      ['calibration-sense-missing -> calibrate'],
    ],
    [
      'a run that is too long for the rate to be measured',
      {
        amplifier: { ...amplifier, nominalRateHz: 40_000, measuredRateHz: 40_000 },
        step: { ...ready.step, kind: 'endurance', plannedS: 3600 },
      },
      ['run-too-long -> none'],
    ],
    ['a safety list not gone through', { isSafetyConfirmed: false }, ['safety-not-confirmed -> safety']],
    ['no zero', { hasZero: false }, ['not-unloaded -> zero']],
    [
      'a direction never confirmed',
      { transducer: { ...transducer, senseConfirmedAt: null } },
      ['sense-not-confirmed -> sense'],
    ],
  ])('names %s and where it is put right', (_, changes, expected) => {
    expect(remedies(changes)).toEqual(expected);
  });

  it('says which amplifier the calibration holds for, and both ways out', () => {
    const [obstacle] = listObstacles({ ...ready, calibratedWith: 'Amplifier 1' });
    expect(obstacle?.sentence).toContain('was made with "Amplifier 1"');
    expect(obstacle?.sentence).toContain('Calibrate again with this amplifier, or connect the old one.');
  });

  it('leaves a rate that is a little off to the quality of the trial', () => {
    expect(remedies({ amplifier: { ...amplifier, measuredRateHz: 65 } })).toEqual([]);
  });

  it('puts the zero before the guided push, which needs it', () => {
    const unconfirmed = { transducer: { ...transducer, senseConfirmedAt: null } };
    expect(remedies({ ...unconfirmed, hasZero: false })).toEqual(['not-unloaded -> zero']);
  });

  it('looks at the sense that the direction rests on, which a reaction arm turns round', () => {
    const turned = { transducer: { ...transducer, senseSign: -1 as const } };
    expect(remedies({ ...turned, calibration: { ...calibration, forward: null } })).toEqual([]);
    expect(remedies({ ...turned, calibration: { ...calibration, reverse: null } })).toEqual([
      'calibration-sense-missing -> calibrate',
    ]);
  });

  it('lets an hour of endurance run at a moderate rate', () => {
    const hour = { step: { ...ready.step, kind: 'endurance', plannedS: 3600 } } as const;
    const fast = { ...amplifier, nominalRateHz: 9000, measuredRateHz: 9000 };
    expect(remedies({ ...hour, amplifier: fast })).toEqual([]);
  });

  it('does not mind a missing sense that the step does not use', () => {
    expect(remedies({ calibration: { ...calibration, reverse: null } })).toEqual([]);
  });
});
