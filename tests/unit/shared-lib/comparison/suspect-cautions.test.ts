import { describe, expect, it } from 'vitest';
import { suspectCautions } from '../../../../shared-lib/comparison/suspect-cautions.ts';
import type { Suspicion } from '../../../../shared-lib/trial/suspicion.ts';

const marked = (decision: Suspicion['decision']): { readonly suspicion: Suspicion } => ({
  suspicion: { checkId: 1, failedAt: '2026-03-05T10:00:00.000Z', decision, reason: null },
});
const sound = { suspicion: null };

describe('trials under a failed daily check', () => {
  it('are told as long as nobody has decided about them, with how many there are in all', () => {
    expect(suspectCautions([sound, marked(null), marked('usable')])).toEqual([
      '1 of 3 trials is suspect: a daily check failed after it, or before it with none passed since, and nobody has decided yet whether it is usable. Decide in the Logbook.',
    ]);
    expect(suspectCautions([marked(null), marked(null)], 'For Forward 5 s: ')).toEqual([
      'For Forward 5 s: 2 of 2 trials are suspect: a daily check failed after them, or before them with none passed since, and nobody has decided yet whether they are usable. Decide in the Logbook.',
    ]);
  });

  it('are not told once somebody has decided, and where there are none', () => {
    expect(suspectCautions([sound, marked('usable'), marked('excluded')])).toEqual([]);
    expect(suspectCautions([])).toEqual([]);
  });
});
