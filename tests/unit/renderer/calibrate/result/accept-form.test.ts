import { describe, expect, it } from 'vitest';
import { localDay, monthsLater } from '../../../../../renderer/calibrate/local-day.ts';
import {
  OWN_REASON,
  readAcceptForm,
  usualAcceptForm,
  usualSupersedeReasons,
} from '../../../../../renderer/calibrate/result/accept-form.ts';

const usual = usualAcceptForm('weightsOnArm', '2026-11-30', (day) => `<${day}>`);

describe('accepting', () => {
  it('stands ready at its usual values where nothing is replaced', () => {
    expect(readAcceptForm(usual, false)).toEqual({
      value: {
        label: 'Weights on arm, <2026-11-30>',
        note: '',
        validUntil: '2027-02-28',
        validForTrials: 500,
        supersedeReason: null,
      },
    });
  });

  it('wants one of the usual reasons, or own words, where a version is in use', () => {
    expect(readAcceptForm(usual, true)).toEqual({ missing: ['why it replaces the one in use'] });
    expect(readAcceptForm({ ...usual, reason: usualSupersedeReasons[0] }, true)).toMatchObject({
      value: { supersedeReason: 'Regular new calibration' },
    });
    expect(readAcceptForm({ ...usual, reason: OWN_REASON, ownReason: 'no' }, true)).toHaveProperty('missing');
    expect(readAcceptForm({ ...usual, reason: OWN_REASON, ownReason: 'new arm ' }, true)).toMatchObject({
      value: { supersedeReason: 'new arm' },
    });
  });

  it('may hold without a last day and for any number of trials', () => {
    expect(readAcceptForm({ ...usual, validUntil: '', trials: '' }, false)).toMatchObject({
      value: { validUntil: null, validForTrials: null },
    });
  });

  it('refuses a number of trials that cannot be read instead of leaving it out', () => {
    expect(readAcceptForm({ ...usual, trials: 'many' }, false)).toEqual({
      missing: ['the number of trials'],
    });
  });
});

describe('days', () => {
  it('stay the same day of the month, or its last', () => {
    expect(monthsLater('2026-11-25', 3)).toBe('2027-02-25');
    expect(monthsLater('2026-10-31', 1)).toBe('2026-11-30');
    expect(monthsLater('2027-11-30', 3)).toBe('2028-02-29');
  });

  it('are those of this place', () => {
    expect(localDay(new Date(2026, 2, 9, 23, 59))).toBe('2026-03-09');
  });
});
