import { describe, expect, it } from 'vitest';
import { enteredRows, enteredSummary } from '../../../../../shared-lib/calibration/words/report-sentences.ts';
import { weightsUsed } from '../../../../../shared-lib/calibration/words/standards-sentences.ts';
import { demoEnteredVersion, demoWeight } from '../../../../helpers/scripted-calibration.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');

describe('the report of a calibration without a run', () => {
  it('says in plain words what it is worth', () => {
    const [first, second] = enteredSummary(demoEnteredVersion).map(plain);
    expect(first).toBe('This calibration was entered, from known torque at known counts; it covers forward.');
    expect(second).toContain('±0.50 % as entered, is what was typed');
    expect(enteredSummary({ ...demoEnteredVersion, enteredUncertaintyPercent: null })[1]).toContain(
      'No uncertainty was stated',
    );
  });

  it('lists what was entered, torque in both units', () => {
    const { input } = demoEnteredVersion;
    if (input === null) throw new Error('It was entered.');
    expect(enteredRows(input).map(({ name, value }) => [name, plain(value)])).toEqual([
      ['Counts without load', '1200 counts'],
      ['Known torque, forward', '1000 N·m (737.562 ft·lbf) at 82 500 counts'],
      ['Known torque, reverse', 'none'],
    ]);
  });
});

it('each weight stands once among the standards, in the order in which it was hung', () => {
  const [a, b] = [demoWeight('A'), demoWeight('B')];
  expect(weightsUsed([[a], [a, b]]).map(({ id }) => id)).toEqual(['weight-A', 'weight-B']);
});
