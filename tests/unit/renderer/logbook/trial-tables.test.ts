import { describe, expect, it } from 'vitest';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import { conditionRows } from '../../../../renderer/logbook/condition-rows.ts';
import { figureRows } from '../../../../renderer/logbook/figure-rows.ts';
import { trialRow } from '../../../../renderer/logbook/trial-rows.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { demoFigures, demoRecord, demoSummary } from './trial-samples.ts';

const plain = (text: string) => text.replaceAll(THIN_SPACE, ' ');
const torque = torqueDisplay('Nm', null);

describe('row of the Logbook', () => {
  const row = (change: Partial<typeof demoSummary>) =>
    trialRow({ ...demoSummary, ...change }, (instant) => instant.slice(0, 10), torque.formatNumber);

  it('holds what is needed to find a trial again', () => {
    const { planned, ...rest } = row({});
    expect(plain(planned)).toBe('5 s');
    expect(rest).toEqual({
      id: 'demo-1',
      when: '2026-03-04',
      tool: 'Hollin H5',
      direction: 'forward',
      state: 'Kept',
      quality: 'Good',
      sustained: '412',
      check: '',
      mark: 'simulated',
    });
  });

  it.each([
    [null, 'Suspect'],
    ['usable', 'Usable'],
    ['excluded', 'Excluded'],
  ] as const)('says what a failed check means for it: %s reads %s', (decision, mark) => {
    const suspicion = { checkId: 3, failedAt: '2026-03-05T08:00:00.000Z', decision, reason: decision };
    expect(row({ suspicion }).check).toBe(mark);
  });

  it('shows dashes for what is not known before a trial is kept', () => {
    expect(row({ state: 'reviewing', qualityVerdict: null, sustainedTorqueNm: null })).toMatchObject({
      state: 'To be decided',
      quality: '–',
      sustained: '–',
    });
  });

  it('has no mark for a trial on the real bench', () => {
    expect(row({ isSimulated: false }).mark).toBe('');
  });
});

describe('figures', () => {
  const rows = figureRows(demoFigures, torque);
  const rowOf = (name: string) => rows.find((row) => plain(row.name) === name);

  it('begin with the headline and name the window of the measuring curve', () => {
    expect(rows[0]?.name).toBe('Sustained torque');
    expect(plain(rows[0]?.value ?? '')).toBe('412 N·m');
    expect(plain(rows[0]?.hint ?? '')).toContain('centred mean over 101 ms');
  });

  it('give the reason instead of a number where the curve cannot carry one', () => {
    expect(rowOf('Torque at 5 s')).toMatchObject({
      value: 'no figure',
      hint: 'The record ends before 5 s.',
      isRefused: true,
    });
  });

  it('say that a level was not reached', () => {
    expect(rowOf('Time to 600 N·m')).toMatchObject({ value: 'not reached', isRefused: false });
    expect(plain(rowOf('Time to 300 N·m')?.value ?? '')).toBe('0.43 s');
  });

  it('name the rate of the highest reading beside it', () => {
    expect(rowOf('Highest reading at 1000 Sa/s')).toBeDefined();
  });
});

describe('conditions', () => {
  const valueOf = (name: string, record = demoRecord) =>
    plain(conditionRows(record, null, torque).find((row) => row.name === name)?.value ?? '');

  it('show the fitted rate with its residual', () => {
    expect(valueOf('Fitted rate')).toBe('999.99 Sa/s, residual 42 µs');
    expect(valueOf('Fitted rate', { ...demoRecord, sampleRateHz: null })).toBe('not fitted');
  });

  it('say what was not given or not measured', () => {
    expect(valueOf('Rig')).toBe('limit not given, holds the torque');
    expect(valueOf('Zero after')).toBe('not measured');
  });

  it('name the calibration by its id where its version is not at hand', () => {
    expect(valueOf('Calibration')).toBe('calibration-1');
  });
});
