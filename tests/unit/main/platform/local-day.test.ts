import { describe, expect, it } from 'vitest';
import { localDay, startOfDay } from '../../../../main/platform/local-day.ts';

describe('the start of a calendar day', () => {
  it.each(['2026-03-29', '2026-10-25', '2024-02-29', '0099-12-31'])(
    'of %s is its first instant on this computer, whatever the clocks do that day',
    (day) => {
      const start = startOfDay(day);
      expect(localDay(start ?? '')).toBe(day);
      expect(localDay(new Date(Date.parse(start ?? '') - 1))).not.toBe(day);
    },
  );

  it('can be asked for of a later day, over the end of months and years', () => {
    expect(startOfDay('2025-12-31', 1)).toBe(startOfDay('2026-01-01'));
    expect(startOfDay('2024-02-28', 1)).toBe(startOfDay('2024-02-29'));
  });

  it('is none where instants have no text of that form any more', () => {
    expect(startOfDay('9999-12-31', 1)).toBeNull();
    expect(startOfDay('9999-12-31')).not.toBeNull();
  });
});
