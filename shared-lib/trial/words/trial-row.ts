import { stepWords, placeWords } from './pull-words.ts';
import { describeSetup } from '../../run-sheet/describe-entry.ts';
import type { TrialSummary } from '../trial-model.ts';
import { qualityWords } from './quality-words.ts';
import { suspicionWords } from './suspicion-words.ts';
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
  /** What a failed daily check means for it, whether it was simulated, and the other bench that it was pulled on. */
  readonly marks: string;
}

export function trialRow(
  trial: TrialSummary,
  formatWhen: (instant: string) => string,
  formatTorqueNumber: (torqueNm: number) => string,
): TrialRow {
  const { step, qualityVerdict, sustainedTorqueNm } = trial;
  const check = suspicionWords(trial.suspicion, formatWhen)?.mark ?? '';
  const bench = trial.benchName === undefined ? '' : `from ${trial.benchName}`;
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
    marks: [check, bench, trial.isSimulated ? 'simulated' : ''].filter((mark) => mark !== '').join(', '),
  };
}
