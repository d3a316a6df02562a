import { describe, expect, it } from 'vitest';
import { trailOf, type TrailWords } from '../../../../shared-lib/trial/words/trail.ts';
import { demoRecord, demoSetup } from './trial-samples.ts';

const words: TrailWords = {
  formatTorque: (torqueNm) => `${Math.round(torqueNm)} N·m`,
  calibrationLabel: (id) => (id === 'calibration-1' ? 'Winter' : id === 'calibration-2' ? 'Spring' : null),
};
const sentences = (change: Partial<typeof demoRecord>) =>
  trailOf({ ...demoRecord, ...change }, words).map(({ sentence }) => sentence);
const by = { operator: 'Demo', at: '2026-03-06T10:00:00.000Z' };

describe('the trail of a trial', () => {
  it('shows a reassignment among the decisions, in the order of time', () => {
    const trail = trailOf(
      {
        ...demoRecord,
        decisions: [
          {
            decision: 'kept',
            reason: 'Kept by itself.',
            figuresShown: false,
            operator: '',
            at: '2026-03-04T10:00:00Z',
          },
          {
            decision: 'voided',
            reason: 'slipped',
            figuresShown: true,
            operator: '',
            at: '2026-03-08T10:00:00Z',
          },
        ],
        assignments: [
          {
            calibrationId: 'b',
            label: 'Second',
            reason: 'Arm measured anew',
            operator: 'Demo',
            at: '2026-03-06T10:00:00Z',
          },
        ],
      },
      words,
    );
    expect(trail.map(({ sentence }) => sentence)).toEqual([
      'Kept by itself.',
      'Reassigned to the calibration “Second”: Arm measured anew. Its figures were computed anew.',
      'Voided, after its figures were shown: slipped',
    ]);
  });

  it('puts everything in one order of time, with who did it', () => {
    const trail = trailOf(
      {
        ...demoRecord,
        decisions: [
          {
            decision: 'kept',
            reason: 'Kept by itself.',
            figuresShown: false,
            operator: 'A',
            at: '2026-03-04T10:00:00.000Z',
          },
          {
            decision: 'voided',
            reason: 'slipped',
            figuresShown: true,
            operator: 'B',
            at: '2026-03-09T10:00:00.000Z',
          },
        ],
        evaluations: [
          {
            definitionVersion: 1,
            calibrationId: 'calibration-1',
            at: '2026-03-04T10:00:00.000Z',
            sustainedTorqueNm: 400,
            finalTorqueNm: 390,
            verdict: 'good',
          },
        ],
        annotations: [{ note: 'Warm pack', tags: [], operator: 'C', at: '2026-03-05T10:00:00.000Z' }],
        relabellings: [
          {
            toolName: 'Tarnwick T6',
            setup: null,
            reason: 'mixed up',
            operator: 'D',
            at: '2026-03-06T10:00:00.000Z',
          },
        ],
        assignments: [
          { calibrationId: 'b', label: 'B', reason: 'arm', operator: 'E', at: '2026-03-07T10:00:00.000Z' },
        ],
      },
      words,
    );
    expect(trail.map(({ what, operator }) => [what, operator])).toEqual([
      ['Decision', 'A'],
      ['Figures', null],
      ['Note', 'C'],
      ['Name', 'D'],
      ['Calibration', 'E'],
      ['Decision', 'B'],
    ]);
  });

  it('says what ended a torque early, in the words of the operator', () => {
    const decision = { decision: 'kept', reason: 'Kept after a look.', figuresShown: false, ...by } as const;
    expect(sentences({ decisions: [{ ...decision, stopCause: 'hot' }] })).toEqual([
      'Kept after a look. It ended early: “It cut out hot”.',
    ]);
    expect(sentences({ decisions: [{ ...decision, stopCause: null }] })).toEqual(['Kept after a look.']);
  });

  it('shows figures of one definition beside those of the next', () => {
    const first = {
      definitionVersion: 1,
      calibrationId: 'calibration-1',
      at: '2026-03-04T10:00:00.000Z',
      sustainedTorqueNm: 400,
      finalTorqueNm: 390,
      verdict: 'good',
    } as const;
    const second = {
      ...first,
      definitionVersion: 2,
      calibrationId: 'calibration-2',
      at: by.at,
      sustainedTorqueNm: 408,
      verdict: 'look',
    } as const;
    expect(sentences({ evaluations: [first, second] })).toEqual([
      'Measured by definitions 1, read by “Winter”: sustained 400 N·m; final 390 N·m; quality good.',
      'Measured anew by definitions 2, read by “Spring”: sustained 408 N·m, 400 N·m before; final 390 N·m as before; quality needs a look, good before.',
    ]);
    expect(sentences({ evaluations: [{ ...first, calibrationId: 'gone', finalTorqueNm: null }] })[0]).toBe(
      'Measured by definitions 1, read by a calibration that is not in the list: sustained 400 N·m; final no figure; quality good.',
    );
  });

  it('keeps both names of what was put right, back to the first', () => {
    const relabellings = [
      {
        toolName: 'Hollin H5',
        setup: { ...demoSetup, packName: 'pack 3', socket: null },
        reason: 'wrong pack',
        ...by,
      },
      { toolName: 'Tarnwick T6', setup: null, reason: 'It was the other tool!', ...by },
    ];
    const conditions = { ...demoRecord.conditions, setup: { ...demoSetup, socket: null } };
    expect(sentences({ relabellings, conditions })).toEqual([
      'Put right to “Hollin H5, pack 3, mode 3”, “Hollin H5, pack 2, mode 3” before: wrong pack.',
      'Put right to “Tarnwick T6”, “Hollin H5, pack 3, mode 3” before: It was the other tool!',
    ]);
    expect(sentences({ relabellings: relabellings.slice(1) })[0]).toBe(
      'Put right to “Tarnwick T6”: It was the other tool!',
    );
  });

  it('tells of a note only what became another', () => {
    const annotations = [
      { note: 'Warm pack', tags: ['cold'], ...by },
      { note: 'Warm pack', tags: ['cold', 'publish'], ...by },
      { note: '', tags: [], ...by },
    ];
    expect(sentences({ annotations })).toEqual([
      'Note: “Warm pack” Tags: cold.',
      'Tags: cold, publish.',
      'Note taken out. Tags taken out.',
    ]);
  });
});
