import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { HostClock } from '../../../../renderer/overlay/host-clock.ts';

describe('the clock of the host as the overlay has it', () => {
  it('is as true as the quickest of the newest messages, whatever held up the others', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 400, noNaN: true }), { minLength: 1, maxLength: 30 }),
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        (latenessMs, offsetMs) => {
          const clock = new HostClock();
          latenessMs.forEach((lateMs, index) => {
            clock.take(index * 1e6, index * 1000 + offsetMs + lateMs);
          });
          const shownMs = clock.pageMs(5e6) ?? Number.NaN;
          expect(shownMs - (5000 + offsetMs)).toBeCloseTo(Math.min(...latenessMs), 5);
          expect(clock.hostUs(shownMs)).toBeCloseTo(5e6, 2);
        },
      ),
    );
  });

  it('follows where the two drift apart, for old messages do not count any more', () => {
    const clock = new HostClock();
    for (let second = 0; second < 100; second += 1) clock.take(second * 1e6, second * 1000 + second * 0.1);
    // The quickest of the last thirty: 7 ms off by then, not none.
    expect(clock.pageMs(99e6)).toBeCloseTo(99_000 + 7, 5);
  });

  it('is not known before the first message, nor after a link was lost', () => {
    const clock = new HostClock();
    expect(clock.pageMs(0)).toBeNull();
    clock.take(1e6, 3000);
    clock.forget();
    expect(clock.hostUs(3000)).toBeNull();
  });
});
