import { describe, expect, it } from 'vitest';
import {
  type CalibrationInUse,
  checkShape,
  nextAction,
  validityWords,
} from '../../../../renderer/calibrate/overview-sentences.ts';
import { readyStatus } from '../../../helpers/scripted-bench.ts';

const inUse = readyStatus.calibration;
if (inUse === null) throw new Error('The scripted bench is calibrated.');
const withCheck = (state: CalibrationInUse['check']['state']): CalibrationInUse => ({
  ...inUse,
  check: { ...inUse.check, state },
});
const asTyped = (day: string): string => day;

describe('how long a calibration holds', () => {
  it('names the day and the trials that are left', () => {
    const both = { ...inUse, validUntil: '2026-04-10', trialsLeft: 12 };
    expect(validityWords(both, asTyped)).toBe('Until 2026-04-10, or for 12 more trials');
    expect(validityWords({ ...both, trialsLeft: null }, asTyped)).toBe('Until 2026-04-10');
    expect(validityWords({ ...both, validUntil: null, trialsLeft: 1 }, asTyped)).toBe('1 more trial');
  });

  it('says that no end was set instead of leaving it open', () => {
    expect(validityWords(inUse, asTyped)).toBe('No end was set for it');
  });

  it('tells a time that is over from a check that failed', () => {
    const over = { ...inUse, validUntil: '2026-04-10', isExpired: true };
    expect(validityWords(over, asTyped)).toBe('Its time is over: held until 2026-04-10');
    expect(validityWords({ ...over, ...withCheck('failed'), isExpired: true }, asTyped)).toBe(
      'Not now: its daily check failed',
    );
  });

  it('names of two limits the one that ended it', () => {
    const both = { ...inUse, validUntil: '2026-04-10', isExpired: true };
    expect(validityWords({ ...both, trialsLeft: 0 }, asTyped)).toBe('Its time is over: no trials left');
    expect(validityWords({ ...both, trialsLeft: 12 }, asTyped)).toBe(
      'Its time is over: held until 2026-04-10',
    );
  });
});

describe('the one next action', () => {
  const readings = [{}, {}, {}] as never[];

  it('goes on with an open run before anything else', () => {
    const run = { state: 'paused', taken: readings.slice(1), readings } as const;
    const next = nextAction(withCheck('failed'), run);
    expect(next).toMatchObject({ key: 'goOn', address: '/calibrate/run' });
    expect(next.sentence).toContain('2 of 3 readings are taken');
  });

  it.each([
    ['none', 'check', '/calibrate/check'],
    ['due', 'check', '/calibrate/check'],
    ['failed', 'failed', '/calibrate/check'],
  ] as const)('follows the state of the daily check: %s', (state, key, address) => {
    expect(nextAction(withCheck(state), null)).toMatchObject({ key, address });
  });

  it('has nothing to press for once the check has passed, unless the calibration has reached its end', () => {
    expect(nextAction(withCheck('passed'), null).label).toBeNull();
    expect(nextAction({ ...withCheck('passed'), isExpired: true }, null).key).toBe('calibrate');
  });

  it('calibrates where there is nothing to check', () => {
    expect(nextAction(null, null)).toMatchObject({ key: 'calibrate', address: '/calibrate/run' });
  });
});

it('every state of the check that is not normal has a shape of its own', () => {
  expect(checkShape('failed')).toBe('fault');
  expect(checkShape('due')).toBe('caution');
  expect(checkShape('passed')).toBe('good');
});
