import { formatDuration } from '../../shared-lib/format-quantity.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { qualityWords } from '../bench/bench-sentences.ts';
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
    mark: trial.isSimulated ? 'simulated' : '',
  };
}
