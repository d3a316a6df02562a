import { describe, expect, it } from 'vitest';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import { conditionRows } from '../../../../shared-lib/trial/words/condition-rows.ts';
import { figureRows } from '../../../../shared-lib/trial/words/figure-rows.ts';
import { trialRow } from '../../../../shared-lib/trial/words/trial-row.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { demoFigures, demoRecord, demoSetup, demoSummary } from './trial-samples.ts';

const plain = (text: string) => text.replaceAll(THIN_SPACE, ' ');
const torque = torqueDisplay('Nm', null);

describe('row of the Logbook', () => {
  const row = (change: Partial<typeof demoSummary>) =>
    trialRow({ ...demoSummary, ...change }, (instant) => instant.slice(0, 10), torque.formatNumber);

  it('holds what is needed to find a trial again', () => {
    const { step, ...rest } = row({ tags: ['cold pack', 'publish'] });
    expect(plain(step)).toBe('forward, 5 s');
    expect(rest).toEqual({
      id: 'demo-1',
      when: '2026-03-04',
      tool: 'Hollin H5',
      setup: '',
      place: '',
      state: 'Kept',
      quality: 'Good',
      sustained: '412',
      tags: 'cold pack, publish',
      marks: 'simulated',
    });
  });

  it('names pack and setting behind the tool, and the kind where it is not the usual one', () => {
    const stalled = row({ setup: demoSetup, step: { ...demoSummary.step, kind: 'stall', plannedS: 2.5 } });
    expect(stalled).toMatchObject({ tool: 'Hollin H5', setup: 'pack 2, mode 3' });
    expect(plain(stalled.step)).toBe('stall, forward, 2.5 s');
  });

  it.each([
    ['counted', 2, 1, 'round 2'],
    ['counted', 2, 3, 'round 2, pull 3'],
    ['conditioning', 0, 1, 'conditioning'],
    ['reference', 1, 2, 'reference, round 1, pull 2'],
  ] as const)('says where it stands in a run sheet: %s, round %i, pull %i', (role, round, repeat, words) => {
    const place = { runSheetId: 'sheet-1', entryId: 'entry-1', index: 4, round, repeat, role };
    expect(row({ place }).place).toBe(words);
  });

  it.each([
    [null, 'Suspect, simulated'],
    ['usable', 'Usable, simulated'],
    ['excluded', 'Excluded, simulated'],
  ] as const)('says what a failed check means for it: %s reads %s', (decision, marks) => {
    const suspicion = { checkId: 3, failedAt: '2026-03-05T08:00:00.000Z', decision, reason: decision };
    expect(row({ suspicion }).marks).toBe(marks);
  });

  it('shows dashes for what is not known before a trial is kept', () => {
    expect(row({ state: 'reviewing', qualityVerdict: null, sustainedTorqueNm: null })).toMatchObject({
      state: 'To be decided',
      quality: '–',
      sustained: '–',
    });
  });

  it('has no mark for a trial on the real bench', () => {
    expect(row({ isSimulated: false }).marks).toBe('');
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
