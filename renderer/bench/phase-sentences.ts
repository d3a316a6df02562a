import { describeEntry } from '../../shared-lib/run-sheet/describe-entry.ts';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import type { Kind, Step } from '../../shared-lib/trial/step-model.ts';
import { type BenchSentences, nothing } from './primary-action.ts';
import { roleMark } from './sheet-sentences.ts';
import { describeStep, describeTime } from './step-words.ts';

export type ViewUnderWay = Extract<
  TrialView,
  { phase: 'countdown' | 'waiting' | 'run' | 'tail' | 'unloading' | 'saving' }
>;

/** What the hands do while a trial is under way. Only a stop of the recording can be asked for, by a hold. */
export function describeUnderWay(trial: ViewUnderWay, runSheet: BenchStatus['runSheet']): BenchSentences {
  const { what, mark } = nameOf(trial.step, runSheet);
  const said = (
    next: string,
    detail: string,
    stopLabel: string,
    tone: BenchSentences['tone'],
  ): BenchSentences => ({
    next,
    detail,
    mark,
    tone,
    primary: { does: 'stop', label: stopLabel },
    isUnderWay: true,
  });
  const { kind } = trial.step;
  switch (trial.phase) {
    case 'countdown':
      return said('Get ready', `${what}. Wait for the go.`, 'Hold to cancel', 'calm');
    case 'waiting':
      return said('Pull the trigger', atTheGo[kind], 'Hold to cancel', 'act');
    case 'run':
      return said('Keep pulling', [what, whilePulling[kind]].join(''), 'Hold to stop recording', 'calm');
    case 'tail':
      return said(
        'Release the trigger',
        'The run is over; one more second is recorded.',
        'Hold to stop recording',
        'act',
      );
    case 'unloading':
      return said('Take the load off', trial.prompt, 'Hold to go on without the zero check', 'act');
    case 'saving':
      return {
        next: 'Saving',
        detail: what,
        mark,
        tone: 'calm',
        primary: nothing('Saving'),
        isUnderWay: true,
      };
  }
}

const atTheGo: Readonly<Record<Kind, string>> = {
  tighten: 'Recording begins by itself when the torque rises.',
  breakaway: 'Recording begins by itself when the torque leaves the preload.',
  stall: 'Brace yourself. Recording begins by itself when the torque rises.',
  endurance: 'Recording begins by itself when the torque rises.',
};

const whilePulling: Readonly<Record<Kind, string>> = {
  tighten: '',
  breakaway: '. When it has let go, release.',
  stall: '. Hold it until the time is over.',
  endurance: '. If it stops by itself, that is the result: release.',
};

/** The trial under way as the sheet names it, where it is the sheet's. */
function nameOf(
  step: Step,
  runSheet: BenchStatus['runSheet'],
): { readonly what: string; readonly mark: string | null } {
  const current = runSheet?.current ?? null;
  if (runSheet === null || current === null || describeStep(current.step) !== describeStep(step)) {
    return { what: describeStep(step), mark: null };
  }
  const entry = describeEntry(current, { rounds: runSheet.rounds });
  return { what: `${entry}, ${describeTime(step.plannedS)}`, mark: roleMark(current.role) };
}
