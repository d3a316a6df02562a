import { describe, expect, it } from 'vitest';
import { ScreenWake, type WakeLockHeld } from '../../../../renderer/bench/screen-wake.ts';
import { needsAwakeScreen } from '../../../../renderer/bench/use-screen-wake.ts';
import { demoFigures, demoStep, readyStatus } from '../../../helpers/scripted-bench.ts';
import { demoSheet } from '../../../helpers/scripted-sheet.ts';

/** A browser that counts what it is asked for; `settle` lets the requests through that wait. */
function browser(options: { isRefusing?: boolean; isWaiting?: boolean } = {}) {
  const seen = { asked: 0, released: 0, isVisible: true };
  const waiting: (() => void)[] = [];
  const held: WakeLockHeld = {
    release() {
      seen.released += 1;
      return Promise.resolve();
    },
  };
  const request = async (): Promise<WakeLockHeld> => {
    seen.asked += 1;
    if (options.isRefusing === true) throw new DOMException('Not now', 'NotAllowedError');
    if (options.isWaiting === true) await new Promise<void>((resolve) => waiting.push(resolve));
    return held;
  };
  const wake = new ScreenWake({ request, isVisible: () => seen.isVisible });
  return { seen, wake, settle: () => waiting.splice(0).forEach((resolve) => resolve()) };
}

describe('the screen', () => {
  it('is kept awake while it is wanted, by one lock, and let go afterwards', async () => {
    const { seen, wake } = browser();
    await wake.want(true);
    await wake.want(true);
    expect(seen).toMatchObject({ asked: 1, released: 0 });
    await wake.want(false);
    expect(seen).toMatchObject({ asked: 1, released: 1 });
  });

  it('is kept awake again when the page comes back into sight, as the browser let go of it meanwhile', async () => {
    const { seen, wake } = browser();
    await wake.want(true);
    seen.isVisible = false;
    await wake.visibilityChanged();
    seen.isVisible = true;
    await wake.visibilityChanged();
    expect(seen.asked).toBe(2);
  });

  it('is not asked for while the page is hidden, nor when it comes back and nothing is wanted', async () => {
    const { seen, wake } = browser();
    seen.isVisible = false;
    await wake.want(true);
    expect(seen.asked).toBe(0);
    await wake.want(false);
    seen.isVisible = true;
    await wake.visibilityChanged();
    expect(seen.asked).toBe(0);
  });

  it('goes dark without a word where that is refused, or where the browser knows no such thing', async () => {
    const { wake } = browser({ isRefusing: true });
    await expect(wake.want(true)).resolves.toBeUndefined();
    const without = new ScreenWake({ request: null, isVisible: () => true });
    await expect(without.want(true)).resolves.toBeUndefined();
  });

  it('lets go of a lock that comes when it is no longer wanted', async () => {
    const { seen, wake, settle } = browser({ isWaiting: true });
    const wanted = wake.want(true);
    await wake.want(false);
    settle();
    await wanted;
    expect(seen.released).toBe(1);
  });

  it('must be awake while a sheet is on the bench or a trial under way or undecided, and not else', () => {
    const trial = { step: demoStep, trialId: 't1' };
    expect(needsAwakeScreen(null)).toBe(false);
    expect(needsAwakeScreen(readyStatus)).toBe(false);
    expect(needsAwakeScreen({ ...readyStatus, runSheet: demoSheet })).toBe(true);
    expect(
      needsAwakeScreen({ ...readyStatus, trial: { phase: 'countdown', step: demoStep, secondsLeft: 3 } }),
    ).toBe(true);
    expect(
      needsAwakeScreen({
        ...readyStatus,
        trial: { phase: 'reviewing', ...trial, quality: { verdict: 'look', reasons: [] } },
      }),
    ).toBe(true);
    expect(
      needsAwakeScreen({
        ...readyStatus,
        trial: { phase: 'kept', ...trial, isVoided: false, figures: demoFigures },
      }),
    ).toBe(false);
  });
});
