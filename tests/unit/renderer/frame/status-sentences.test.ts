import { describe, expect, it } from 'vitest';
import { describeStatusAlarm, describeStatusParts } from '../../../../renderer/frame/status-sentences.ts';
import type { AmplifierStatus, BenchStatus } from '../../../../shared-lib/bench-status.ts';
import { readyStatus, unconnectedStatus } from '../../../helpers/scripted-bench.ts';

const zeroTakenMs = Date.parse('2026-01-10T09:00:00.000Z');
const plain = (text: string): string => text.replaceAll('\u202f', ' ');

function statesOf(status: BenchStatus, nowMs = zeroTakenMs): Record<string, string> {
  return Object.fromEntries(describeStatusParts(status, nowMs).map(({ key, state }) => [key, plain(state)]));
}

function withAmplifier(change: Partial<AmplifierStatus>): BenchStatus {
  return { ...readyStatus, amplifier: { ...readyStatus.amplifier, ...change } };
}

describe('describeStatusParts', () => {
  it('says in words how everything stands', () => {
    expect(statesOf(readyStatus, zeroTakenMs + 4 * 60_000)).toEqual({
      amplifier: 'connected, 1000 Sa/s',
      calibration: 'Simulated bench, not checked yet',
      zero: '4 min ago',
      session: '3 kept, 1 voided',
      disk: '214 h left',
    });
  });

  it('says what is not there yet', () => {
    expect(statesOf(unconnectedStatus)).toEqual({
      amplifier: 'not connected',
      calibration: 'none: counts only',
      zero: 'none',
      session: 'no trial yet',
      disk: '41 GB free',
    });
  });

  it.each([
    ['silent', 'silent'],
    ['reconnecting', 'lost, reconnecting'],
    ['failed', 'failed'],
    ['connecting', 'connecting'],
  ] as const)('says that the amplifier is %s', (link, state) => {
    expect(statesOf(withAmplifier({ link })).amplifier).toBe(state);
  });

  it('shows a decimal of a slow rate and none before one is measured', () => {
    expect(statesOf(withAmplifier({ nominalRateHz: 80, measuredRateHz: 79.96 })).amplifier).toBe(
      'connected, 80.0 Sa/s',
    );
    expect(statesOf(withAmplifier({ measuredRateHz: null })).amplifier).toBe('connected');
  });

  it('warns of a rate that is not the one that was set, and tells unreadable lines from silence', () => {
    const off = withAmplifier({ nominalRateHz: 80, measuredRateHz: 1000 });
    expect(statesOf(off).amplifier).toBe('connected, 1000 Sa/s, not as set');
    expect(describeStatusParts(off, zeroTakenMs)[0]?.shape).toBe('caution');
    const counters = { ...readyStatus.amplifier.counters, samples: 0, badLines: 40 };
    expect(statesOf(withAmplifier({ link: 'silent', counters })).amplifier).toBe('lines not understood');
  });

  it.each([
    [20_000, 'just taken'],
    [119 * 60_000, '119 min ago'],
    [150 * 60_000, '2 h ago'],
  ])('gives the age of the zero after %i ms as "%s"', (ageMs, state) => {
    expect(statesOf(readyStatus, zeroTakenMs + ageMs).zero).toBe(state);
  });

  it.each([
    [0.5, '30 min left'],
    [12.9, '12 h left'],
    [40_000, 'over 1000 h left'],
  ])('gives %d hours of disk as "%s"', (hoursLeft, state) => {
    expect(statesOf({ ...readyStatus, storage: { ...readyStatus.storage, hoursLeft } }).disk).toBe(state);
  });

  it('gives every state that is not normal a shape beside its word', () => {
    const shapeOf = (status: BenchStatus, key: string): string | null =>
      describeStatusParts(status, zeroTakenMs).find((part) => part.key === key)?.shape ?? null;
    expect(shapeOf(withAmplifier({ link: 'silent' }), 'amplifier')).toBe('fault');
    expect(shapeOf({ ...readyStatus, calibration: null }, 'calibration')).toBe('caution');
  });
});

describe('the calibration in the status line', () => {
  const { calibration } = readyStatus;
  if (calibration === null) throw new Error('The scripted bench is calibrated.');
  const withCalibration = (change: Partial<typeof calibration>): BenchStatus => ({
    ...readyStatus,
    calibration: { ...calibration, ...change },
  });
  const failed = withCalibration({
    isExpired: true,
    check: {
      ...calibration.check,
      state: 'failed',
      sentence: 'The check of today failed.',
      suspectCount: 2,
    },
  });
  const partOf = (status: BenchStatus) =>
    describeStatusParts(status, zeroTakenMs).find(({ key }) => key === 'calibration');

  it('says until when it holds, and the trials left once they are few', () => {
    expect(partOf(withCalibration({ validUntil: '2026-04-10', trialsLeft: 400 }))?.state).toMatch(
      /^Simulated bench, until .*2026.*, not checked yet$/,
    );
    expect(plain(partOf(withCalibration({ trialsLeft: 12 }))?.state ?? '')).toBe(
      'Simulated bench, 12 more trials, not checked yet',
    );
  });

  it('leads to the check where that is what is to be done', () => {
    const due = withCalibration({ check: { ...calibration.check, state: 'due' } });
    expect(partOf(due)).toMatchObject({ shape: 'caution', address: '/calibrate/check' });
    expect(partOf(failed)).toMatchObject({
      state: 'Simulated bench, check failed',
      shape: 'fault',
      address: '/calibrate/check',
    });
  });

  it('turns into the alarm when a check has failed, with the trials that wait for a decision', () => {
    expect(describeStatusAlarm(failed, 'open')).toEqual({
      sentence: 'The check of today failed. 2 trials are suspect until somebody decides.',
      address: '/calibrate/check',
    });
  });

  it('turns into the alarm when its time is over, after what is worse', () => {
    const over = withCalibration({ isExpired: true, validUntil: '2026-01-01' });
    expect(partOf(over)?.state).toContain('its time is over');
    expect(describeStatusAlarm(over, 'open')).toMatchObject({ address: '/calibrate' });
    const problem = { code: 'port-failed', sentence: 'The port has vanished.' };
    const both = { ...over, amplifier: { ...over.amplifier, problem } };
    expect(describeStatusAlarm(both, 'open')?.sentence).toBe('The port has vanished.');
  });
});

describe('describeStatusAlarm', () => {
  it('is silent while all is well', () => {
    expect(describeStatusAlarm(readyStatus, 'open')).toBeNull();
    expect(describeStatusAlarm(null, 'connecting')).toBeNull();
  });

  it('puts the lost program before everything else', () => {
    const status = withAmplifier({ problem: { code: 'port-failed', sentence: 'The port has vanished.' } });
    expect(describeStatusAlarm(status, 'lost')?.sentence).toMatch(/not reached/);
    expect(describeStatusAlarm(status, 'refused')?.sentence).toMatch(/earlier start/);
  });

  it('puts storage before the amplifier, and leads to where each is put right', () => {
    const problem = { code: 'port-failed', sentence: 'The port has vanished.' };
    const failing: BenchStatus['storage'] = {
      state: 'failing',
      sentence: 'The disk is full.',
      freeBytes: 0,
      hoursLeft: 0,
    };
    const both = { ...withAmplifier({ problem }), storage: failing };
    expect(describeStatusAlarm(both, 'open')).toEqual({ sentence: 'The disk is full.', address: '/setup' });
    expect(describeStatusAlarm(withAmplifier({ problem }), 'open')).toEqual({
      sentence: 'The port has vanished.',
      address: '/setup',
    });
  });
});
