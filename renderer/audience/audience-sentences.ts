import { assertNever } from '../../shared-lib/assert-never.ts';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import { describeEntry } from '../../shared-lib/run-sheet/describe-entry.ts';
import type { LinkState } from '../api-client/link-state.ts';
import { describeStep } from '../bench/step-words.ts';

/** What people who watch are told: what is being tried, and how far it is. Nothing of what the operator has to do. */
export interface AudienceSentences {
  /** What is being tried, what the result is of, or what comes next. */
  readonly what: string;
  /** "Next", "Get ready", "Pulling", "Kept". */
  readonly state: string;
  /** A sentence in smaller type; null: none. */
  readonly detail: string | null;
}

export function describeForAudience(status: BenchStatus | null, linkState: LinkState): AudienceSentences {
  if (status === null || linkState !== 'open') {
    return { what: 'The bench is not reached', state: 'One moment', detail: null };
  }
  const { trial } = status;
  switch (trial.phase) {
    case 'idle':
      return describeNext(status);
    case 'countdown':
      return { what: underWay(status, trial), state: 'Get ready', detail: null };
    case 'waiting':
      return { what: underWay(status, trial), state: 'About to pull', detail: null };
    case 'run':
      return { what: underWay(status, trial), state: 'Pulling', detail: null };
    case 'tail':
    case 'unloading':
    case 'saving':
      return { what: underWay(status, trial), state: 'Pulled, being stored', detail: null };
    case 'reviewing':
      return {
        what: underWay(status, trial),
        state: 'Being decided',
        detail: 'Kept or voided before anybody sees its figures, so that nobody picks results.',
      };
    case 'kept':
      return {
        what: describeStep(trial.step),
        state: trial.isVoided ? 'Voided, not counted' : 'Kept',
        detail: followsOf(status),
      };
    case 'interrupted':
      return { what: describeStep(trial.step), state: 'Interrupted, no result', detail: followsOf(status) };
    default:
      return assertNever(trial, 'A trial phase without words for the audience');
  }
}

function describeNext(status: BenchStatus): AudienceSentences {
  const { runSheet, amplifier, step } = status;
  if (amplifier.source === 'none') return { what: 'Nothing is connected', state: 'One moment', detail: null };
  if (runSheet === null) return { what: describeStep(step), state: 'Next', detail: null };
  if (runSheet.current === null) return { what: runSheet.name, state: 'All pulls are done', detail: null };
  return { what: describeEntry(runSheet.current, runSheet), state: 'Next', detail: null };
}

/** The sheet stays at its entry until the trial is kept; then it has gone on. */
function underWay({ runSheet }: BenchStatus, { step }: Extract<TrialView, { step: unknown }>): string {
  const current = runSheet?.current ?? null;
  return runSheet !== null && current !== null && describeStep(current.step) === describeStep(step)
    ? describeEntry(current, runSheet)
    : describeStep(step);
}

function followsOf(status: BenchStatus): string | null {
  if (status.runSheet === null) return null;
  const { what, state } = describeNext(status);
  return state === 'Next' ? `Next: ${what}` : state;
}
