import { formatDuration } from '../../shared-lib/format-quantity.ts';
import { describeSetup } from '../../shared-lib/run-sheet/describe-entry.ts';
import type { PlaceInSheet } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { qualityWords } from '../bench/bench-sentences.ts';
import { suspicionWords } from './suspects/suspect-sentences.ts';
import { stateWords } from './trial-sentences.ts';

/** One line of the Logbook as text; an empty cell says nothing, a dash says "there is none". */
export interface TrialRow {
  readonly id: string;
  readonly when: string;
  readonly tool: string;
  /** Pack and setting, behind the tool in its column; the socket, which is mostly the same, only where there is room. */
  readonly setup: string;
  readonly step: string;
  readonly place: string;
  readonly sustained: string;
  readonly quality: string;
  readonly state: string;
  readonly tags: string;
  /** What a failed daily check means for it, and whether it was simulated. */
  readonly marks: string;
}

export function trialRow(
  trial: TrialSummary,
  formatWhen: (instant: string) => string,
  formatTorqueNumber: (torqueNm: number) => string,
): TrialRow {
  const { step, qualityVerdict, sustainedTorqueNm } = trial;
  const check = suspicionWords(trial.suspicion, formatWhen)?.mark ?? '';
  return {
    id: trial.id,
    when: formatWhen(trial.startedAt),
    tool: step.toolName,
    setup: trial.setup === null ? '' : describeSetup({ ...trial.setup, toolName: '', socket: null }),
    step: stepWords(step),
    place: trial.place === null ? '' : placeWords(trial.place),
    state: stateWords(trial),
    quality: qualityVerdict === null ? '–' : qualityWords[qualityVerdict],
    sustained: sustainedTorqueNm === null ? '–' : formatTorqueNumber(sustainedTorqueNm),
    tags: trial.tags.join(', '),
    marks: [check, trial.isSimulated ? 'simulated' : ''].filter((mark) => mark !== '').join(', '),
  };
}

/** Pack, setting and socket, for where the tool stands before it; empty where there is none of them. */
export function setupWords(setup: SetupAsTested | null): string {
  return setup === null ? '' : describeSetup({ ...setup, toolName: '' });
}

/** "forward, 5 s", and the kind before it where that is not the usual one. */
export function stepWords({ kind, direction, plannedS }: Step): string {
  const time = formatDuration(plannedS, plannedS % 1 === 0 ? 0 : 1);
  return [...(kind === 'tighten' ? [] : [kind]), direction, time].join(', ');
}

/** Role and round in a run sheet: "round 2", "conditioning", "reference, round 1". */
export function placeWords({ role, round, repeat }: Pick<PlaceInSheet, 'role' | 'round' | 'repeat'>): string {
  return [
    ...(role === 'counted' ? [] : [role]),
    ...(round === 0 ? [] : [`round ${round}`]),
    ...(repeat === 1 ? [] : [`pull ${repeat}`]),
  ].join(', ');
}
