import { formatDuration } from '../../shared-lib/format-quantity.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { qualityWords } from '../bench/bench-sentences.ts';
import { suspicionWords } from './suspects/suspect-sentences.ts';
import { stateWords } from './trial-sentences.ts';

/** One line of the Logbook as text; an empty cell says nothing, a dash says "there is none". */
export interface TrialRow {
  readonly id: string;
  readonly when: string;
  readonly tool: string;
  readonly direction: string;
  readonly planned: string;
  readonly state: string;
  readonly quality: string;
  readonly sustained: string;
  /** What a failed daily check means for it. */
  readonly check: string;
  readonly mark: string;
}

export function trialRow(
  trial: TrialSummary,
  formatWhen: (instant: string) => string,
  formatTorqueNumber: (torqueNm: number) => string,
): TrialRow {
  const { step, qualityVerdict, sustainedTorqueNm } = trial;
  return {
    id: trial.id,
    when: formatWhen(trial.startedAt),
    tool: step.toolName,
    direction: step.direction,
    planned: formatDuration(step.plannedS, step.plannedS % 1 === 0 ? 0 : 1),
    state: stateWords(trial),
    quality: qualityVerdict === null ? '–' : qualityWords[qualityVerdict],
    sustained: sustainedTorqueNm === null ? '–' : formatTorqueNumber(sustainedTorqueNm),
    check: suspicionWords(trial.suspicion, formatWhen)?.mark ?? '',
    mark: trial.isSimulated ? 'simulated' : '',
  };
}
