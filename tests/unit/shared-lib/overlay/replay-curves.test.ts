import { describe, expect, it } from 'vitest';
import { colourTrials, labelTrials } from '../../../../shared-lib/overlay/replay-curves.ts';
import type { TrialSummary } from '../../../../shared-lib/trial/trial-model.ts';

type Named = Parameters<typeof labelTrials>[0][number];

function trial(
  toolName: string,
  more: Partial<Pick<TrialSummary, 'setup' | 'place'>> & { plannedS?: number } = {},
): Named {
  return {
    step: { toolName, kind: 'tighten', direction: 'forward', plannedS: more.plannedS ?? 5 },
    setup: more.setup ?? null,
    place: more.place ?? null,
  };
}

describe('the names of trials side by side', () => {
  it('are those of the tools where that tells them apart', () => {
    expect(labelTrials([trial('Hollin H5'), trial('Tarnwick T6')])).toEqual(['Hollin H5', 'Tarnwick T6']);
  });

  it('say more only where it differs', () => {
    expect(labelTrials([trial('Hollin H5'), trial('Hollin H5', { plannedS: 10 })])).toEqual([
      'Hollin H5, 5 s',
      'Hollin H5, 10 s',
    ]);
  });

  it('get a number where nothing else is known to differ', () => {
    expect(labelTrials([trial('Hollin H5'), trial('Corvane C8'), trial('Hollin H5')])).toEqual([
      'Hollin H5 (1)',
      'Corvane C8',
      'Hollin H5 (2)',
    ]);
  });
});

describe('the colours of trials side by side', () => {
  it('are the tool’s own, and never the same twice', () => {
    const [own] = colourTrials(['Hollin H5']);
    const five = colourTrials(['Hollin H5', 'Hollin H5', 'Hollin H5', 'Hollin H5', 'Hollin H5']);
    expect(five[0]).toBe(own);
    expect([...five].sort()).toEqual([0, 1, 2, 3, 4]);
  });
});
