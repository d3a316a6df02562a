import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LineSchedule } from '../../../../main/simulation/line-schedule.ts';
import { fitSampleClock, type ArrivalMark } from '../../../../shared-lib/signal/fit-sample-clock.ts';
import {
  createSenderClock,
  type SenderClockOptions,
} from '../../../../shared-lib/simulation/sender-clock.ts';

/** When each line was handed out to a writer that looks every `stepUs`. */
function sentAt(rateHz: number, options: SenderClockOptions, lineCount: number, stepUs: number): number[] {
  const schedule = new LineSchedule(rateHz, 0, 0.25, createSenderClock(rateHz, options, 3));
  const times: number[] = [];
  for (let nowUs = 0; times.length < lineCount; nowUs += stepUs) {
    for (let due = schedule.takeDue(nowUs); due > 0; due -= 1) times.push(nowUs);
  }
  return times;
}

const marksOf = (times: readonly number[]): ArrivalMark[] =>
  times.map((arrivalUs, slot) => ({ slot, arrivalUs }));

describe('a line schedule', () => {
  it('hands out the same lines however often it is asked', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 200_000 }), { maxLength: 50 }), (waitsUs) => {
        const schedule = new LineSchedule(1000, 5_000_000, 0.25);
        let nowUs = 5_000_000;
        let taken = 0;
        for (const waitUs of waitsUs) {
          nowUs += waitUs;
          taken += schedule.takeDue(nowUs);
        }
        expect(taken).toBe(Math.floor((nowUs - 5_000_000) / 1000));
      }),
    );
  });

  it('catches up with a delay of a quarter of a second and moves on after a longer one', () => {
    const schedule = new LineSchedule(1000, 0, 0.25);
    expect(schedule.takeDue(250_000)).toBe(250);
    expect(schedule.takeDue(250_000 + 3_000_000)).toBe(10);
    expect(schedule.takeDue(250_000 + 3_001_000)).toBe(1);
  });

  it('moves on at a rate of less than one line per delay, too', () => {
    const schedule = new LineSchedule(1, 0, 0.25);
    expect(schedule.takeDue(900_000)).toBe(0);
    expect(schedule.takeDue(1_000_000)).toBe(1);
    expect(schedule.takeDue(5_500_000)).toBe(1);
    expect(schedule.takeDue(6_000_000)).toBe(1);
  });

  it('gives up what is due when told to', () => {
    const schedule = new LineSchedule(100, 0, 0.25);
    schedule.moveOn(200_000);
    expect(schedule.takeDue(200_000)).toBe(0);
    expect(schedule.takeDue(210_000)).toBe(1);
  });

  it('says when the next line is due', () => {
    const schedule = new LineSchedule(100, 5000, 0.25);
    expect(schedule.nextDueUs).toBe(15_000);
    schedule.takeDue(20_000);
    expect(schedule.nextDueUs).toBe(25_000);
  });

  it('sends with the jitter of its clock, which the clock fit recovers within its standard error', () => {
    const lineCount = 4000;
    const fit = fitSampleClock(marksOf(sentAt(100, { jitterUs: 400 }, lineCount, 5)));
    // A line takes two degrees of freedom; the standard error of a standard deviation is s/sqrt(2 nu).
    const deviationUs = (fit?.residualUs ?? 0) * Math.sqrt(lineCount / (lineCount - 2));
    expect(Math.abs(deviationUs - 400)).toBeLessThan(3 * (400 / Math.sqrt(2 * (lineCount - 2))));
    // Standard error of the slope over n evenly spaced lines: s sqrt(12/n^3), as a share of the period of 10 000 us.
    const shareError = (400 * Math.sqrt(12 / lineCount ** 3)) / 10_000;
    expect(Math.abs((fit?.sampleRateHz ?? 0) / 100 - 1)).toBeLessThan(3 * shareError);
  });

  it('runs fast by as much as its clock does', () => {
    const fit = fitSampleClock(marksOf(sentAt(1000, { rateErrorPpm: 20_000 }, 5000, 10)));
    expect(fit?.sampleRateHz).toBeCloseTo(1020, 2);
  });

  it('takes the steps of its clock', () => {
    const times = sentAt(100, { rateSteps: [{ atS: 1, factor: 1.25 }] }, 300, 100);
    const periods = times.slice(1).map((time, index) => time - (times[index] ?? 0));
    // By hand: periods of 10 ms up to 1 s, then of 8 ms.
    const lookUs = 100;
    expect(periods.slice(0, 99).filter((period) => Math.abs(period - 10_000) > lookUs)).toEqual([]);
    expect(periods.slice(99).filter((period) => Math.abs(period - 8000) > lookUs)).toEqual([]);
    expect((times[299] ?? 0) - (times[99] ?? 0)).toBeCloseTo(200 * 8000, -3);
  });

  it('never lets jitter change the order or the number of lines', () => {
    const times = sentAt(1000, { jitterUs: 3000 }, 2000, 100);
    const sorted = [...times].sort((one, other) => one - other);
    expect(times).toEqual(sorted);
    expect(Math.abs((times.at(-1) ?? 0) - 2_000_000)).toBeLessThan(15_000);
  });
});
