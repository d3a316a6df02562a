import { describe, expect, it } from 'vitest';
import { mostPulledStep } from '../../../../shared-lib/charts/session-charts.ts';
import type { TrialSummary } from '../../../../shared-lib/trial/trial-model.ts';

function pulled(id: string, more: Partial<TrialSummary> = {}): TrialSummary {
  return {
    id,
    sessionId: 's',
    startedAt: '2026-03-17T10:00:00.000Z',
    step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 },
    state: 'kept',
    isVoided: false,
    isSimulated: true,
    qualityVerdict: 'good',
    sustainedTorqueNm: 500,
    suspicion: null,
    setup: null,
    place: null,
    hasNote: false,
    tags: [],
    ...more,
  };
}

function marked(decision: 'usable' | 'excluded' | null): TrialSummary['suspicion'] {
  return { checkId: 1, failedAt: '2026-03-18T10:00:00.000Z', decision, reason: '' };
}

function idsIn(trials: readonly TrialSummary[]): readonly string[] {
  return mostPulledStep(trials, 'goodAndLook', true)?.trials.map(({ id }) => id) ?? [];
}

describe('the picture of a session', () => {
  it('draws the trials that its report counts: not one left out after a failed check', () => {
    const trials = [
      pulled('counts'),
      pulled('left out', { suspicion: marked('excluded') }),
      pulled('undecided', { suspicion: marked(null) }),
      pulled('usable', { suspicion: marked('usable') }),
    ];
    expect(idsIn(trials)).toEqual(['counts', 'undecided', 'usable']);
  });

  it('draws neither voided nor conditioning pulls, nor what the gate keeps out', () => {
    const trials = [
      pulled('counts'),
      pulled('voided', { isVoided: true }),
      pulled('not usable', { qualityVerdict: 'notUsable' }),
      pulled('never judged', { qualityVerdict: null }),
      pulled('waits', { state: 'reviewing' }),
    ];
    expect(idsIn(trials)).toEqual(['counts']);
  });

  it('is of the step that most of the counting trials have', () => {
    const reverse = { ...pulled('x').step, direction: 'reverse' as const };
    const left = { suspicion: marked('excluded') };
    const trials = [
      pulled('f1', { ...left }),
      pulled('f2', { ...left }),
      pulled('f3'),
      pulled('r1', { step: reverse }),
      pulled('r2', { step: reverse }),
    ];
    expect(idsIn(trials)).toEqual(['r1', 'r2']);
  });
});
