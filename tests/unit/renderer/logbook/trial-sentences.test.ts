import { describe, expect, it } from 'vitest';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import type { FaultEvent } from '../../../../shared-lib/trial/trial-model.ts';
import {
  decisionWords,
  faultsOnTimeLine,
  possibleDecisions,
  stateWords,
  summariseTrial,
  undecidedSentence,
} from '../../../../shared-lib/trial/words/trial-sentences.ts';
import { demoFigures, demoRecord, demoSummary } from './trial-samples.ts';

const plain = (text: string) => text.replaceAll(THIN_SPACE, ' ');
const whole = (torqueNm: number) => `${Math.round(torqueNm)} N·m`;

describe('trials that wait for a decision', () => {
  it.each([
    [1, 0, '1 trial waits for a decision. '],
    [0, 1, '1 interrupted trial waits for a decision. '],
    [2, 1, '3 trials wait for a decision, 1 of them interrupted. '],
  ])(
    '%i to be decided and %i interrupted are counted in one sentence',
    (reviewing, interrupted, beginning) => {
      expect(undecidedSentence(reviewing, interrupted).startsWith(beginning)).toBe(true);
    },
  );
});

describe('state of a trial', () => {
  it('says voided whatever it was before', () => {
    expect(stateWords({ state: 'kept', isVoided: true })).toBe('Voided');
    expect(stateWords({ state: 'interrupted', isVoided: true })).toBe('Voided');
  });

  it.each([
    ['recording', false, []],
    ['reviewing', false, ['keep', 'void']],
    ['interrupted', false, ['keep', 'void']],
    ['kept', false, ['void']],
    ['kept', true, ['restore']],
    ['interrupted', true, ['restore']],
  ] as const)('%s, voided %s, leaves %j to be decided', (state, isVoided, decisions) => {
    expect(possibleDecisions({ state, isVoided })).toEqual(decisions);
  });
});

describe('decision', () => {
  const voided = {
    decision: 'voided',
    reason: 'Socket or adapter slipped',
    operator: '',
    at: '2026-03-04T10:21:00.000Z',
  } as const;

  it('says whether the figures had been shown by then', () => {
    expect(decisionWords({ ...voided, figuresShown: true })).toBe(
      'Voided, after its figures were shown: Socket or adapter slipped',
    );
    expect(decisionWords({ ...voided, figuresShown: false })).toContain('before its figures were shown');
  });
});

describe('summary of a trial in words', () => {
  it('says what the curve shows', () => {
    expect(plain(summariseTrial(demoRecord, whole))).toBe(
      'Hollin H5, forward, 5 s planned. It held 412 N·m for 250 ms, 90 % of it reached after 0.87 s. ' +
        'At the end 406 N·m. Highest reading 456 N·m at 1000 Sa/s.',
    );
  });

  it.each([
    [{ stallTorqueNm: { value: 88.4 } }, 'Its stall torque is 88 N·m.'],
    [
      { breakaway: { preloadNm: 300, releasedAtS: 0.354 } },
      'A preload of 300 N·m was released after 0.35 s.',
    ],
    [{ breakaway: { preloadNm: 300, releasedAtS: null } }, 'A preload of 300 N·m was not released.'],
    [
      {
        endurance: {
          firstNm: 400,
          lastNm: 300,
          fadePercent: 25,
          fadePercentPerMin: 1.25,
          under80PercentS: null,
          pulledS: 60,
        },
      },
      'It faded by 25.0 % over 60 s.',
    ],
  ])('says what a trial of its kind is about: %j', (figuresOfKind, sentence) => {
    const figures = { ...demoFigures, ...figuresOfKind };
    expect(plain(summariseTrial({ ...demoRecord, figures }, whole))).toContain(sentence);
  });

  it('gives no torque away before the trial is kept', () => {
    const undecided = {
      ...demoRecord,
      figures: null,
      summary: { ...demoSummary, state: 'reviewing' },
    } as const;
    expect(plain(summariseTrial(undecided, whole))).toBe(
      'Hollin H5, forward, 5 s planned. Its figures show once it has been kept, so that nobody picks results.',
    );
  });

  it('leaves out a measure that the curve cannot carry, and says how many samples are missing', () => {
    const figures = { ...demoFigures, sustainedTorqueNm: { refused: 'Too few samples.' } };
    expect(plain(summariseTrial({ ...demoRecord, figures, lostSlots: 12 }, whole))).toBe(
      'Hollin H5, forward, 5 s planned. At the end 406 N·m. Highest reading 456 N·m at 1000 Sa/s. 12 of 7000 samples are missing.',
    );
  });
});

describe('faults on the time line', () => {
  const fault = (kind: FaultEvent['kind'], atS: number | null): FaultEvent => ({
    kind,
    at: '2026-03-04T10:20:31.000Z',
    atS,
    count: 1,
    sentence: kind,
  });

  it('are numbered in the order of time, counted from onset, with the untied ones last', () => {
    const shown = faultsOnTimeLine(
      [fault('badLine', null), fault('rail', 4.5), fault('sequenceGap', 0.5)],
      -1,
    );
    expect(shown.map(({ number, timeS, fault: { kind } }) => [number, timeS, kind])).toEqual([
      [1, -0.5, 'sequenceGap'],
      [2, 3.5, 'rail'],
      [3, null, 'badLine'],
    ]);
  });
});
