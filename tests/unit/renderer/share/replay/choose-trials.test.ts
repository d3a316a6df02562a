import { describe, expect, it } from 'vitest';
import { MOST_REPLAYED, toggled, usualChoice } from '../../../../../renderer/share/replay/choose-trials.ts';
import type { TrialSummary } from '../../../../../shared-lib/trial/trial-model.ts';

function summary(
  id: string,
  toolName: string,
  more: { plannedS?: number } & Partial<Pick<TrialSummary, 'isVoided' | 'suspicion' | 'place'>> = {},
): TrialSummary {
  return {
    id,
    sessionId: 's',
    startedAt: '2026-03-17T10:00:00.000Z',
    step: { toolName, kind: 'tighten', direction: 'forward', plannedS: more.plannedS ?? 5 },
    state: 'kept',
    isVoided: more.isVoided ?? false,
    isSimulated: true,
    qualityVerdict: 'good',
    sustainedTorqueNm: 500,
    suspicion: more.suspicion ?? null,
    setup: null,
    place: more.place ?? null,
    hasNote: false,
    tags: [],
  };
}

describe('what is replayed until somebody chooses', () => {
  it('is the newest run of each tool that counts and asks the same of it', () => {
    const trials = [
      summary('h2', 'Hollin H5'),
      summary('t2', 'Tarnwick T6', { isVoided: true }),
      summary('t10', 'Tarnwick T6', { plannedS: 10 }),
      summary('t1', 'Tarnwick T6'),
      summary('h1', 'Hollin H5'),
    ];
    expect(usualChoice(trials)).toEqual(['h2', 't1']);
  });

  it('is neither a run left out after a failed check nor one pulled to warm the tool up', () => {
    const marked = (decision: 'usable' | 'excluded' | null) => ({
      checkId: 1,
      failedAt: '2026-03-18T10:00:00.000Z',
      decision,
      reason: null,
    });
    const place = { runSheetId: 's', entryId: 'e', index: 0, round: 0, repeat: 1 };
    const trials = [
      summary('warm', 'Hollin H5', { place: { ...place, role: 'conditioning' }, plannedS: 10 }),
      summary('left out', 'Hollin H5', { suspicion: marked('excluded') }),
      summary('undecided', 'Hollin H5', { suspicion: marked(null) }),
      summary('h1', 'Hollin H5'),
      summary('t2', 'Tarnwick T6', { suspicion: marked('excluded') }),
      summary('usable', 'Tarnwick T6', { suspicion: marked('usable') }),
    ];
    expect(usualChoice(trials)).toEqual(['undecided', 'usable']);
    expect(usualChoice(trials.slice(0, 2))).toEqual(['warm']);
  });

  it('is a voided one where there is no other, and nothing where there is nothing', () => {
    expect(usualChoice([summary('v', 'Hollin H5', { isVoided: true })])).toEqual(['v']);
    expect(usualChoice([])).toEqual([]);
  });

  it('is never more than can be told apart', () => {
    const trials = Array.from({ length: 9 }, (_, index) => summary(`t${index}`, `Tool ${index}`));
    const chosen = usualChoice(trials);
    expect(chosen).toHaveLength(MOST_REPLAYED);
    expect(toggled(chosen, 't8')).toEqual(chosen);
    expect(toggled(chosen, 't0')).toHaveLength(MOST_REPLAYED - 1);
    expect(toggled(toggled(chosen, 't0'), 't8')).toContain('t8');
  });
});
