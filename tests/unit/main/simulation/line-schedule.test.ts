import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LineSchedule } from '../../../../main/simulation/line-schedule.ts';

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
});
