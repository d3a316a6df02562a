import { fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { qualityWords } from '../../../shared-lib/trial/words/quality-words.ts';
import type { TorqueDisplay } from '../../../shared-lib/torque-display.ts';
import { suspicionWords } from '../../../shared-lib/trial/words/suspicion-words.ts';
import { setupWords } from '../../../shared-lib/trial/words/pull-words.ts';
import { stateWords } from '../../../shared-lib/trial/words/trial-sentences.ts';
import { plainNumber, tabSeparated } from './plain-text.ts';

/** Trials as a table for a spreadsheet, with a header; what is hidden before a trial is kept is empty. */
export function trialsAsTable(
  trials: readonly TrialSummary[],
  torque: Pick<TorqueDisplay, 'unit' | 'unitLabel' | 'decimals'>,
  formatWhen: (instant: string) => string,
): string {
  const header = [
    'Begun',
    'Tool',
    'Setup',
    'Kind',
    'Direction',
    'Planned, s',
    'Role',
    'Round',
    'Pull',
    'Sustained torque (static calibration), ' + torque.unitLabel,
    'Quality',
    'State',
    'Tags',
    'Daily check',
    'Simulated',
    'Trial',
  ];
  const rows = trials.map((trial) => {
    const { step, place, qualityVerdict, sustainedTorqueNm } = trial;
    const sustained = sustainedTorqueNm === null ? null : fromOwnUnit(sustainedTorqueNm, torque.unit);
    return [
      sortableTime(new Date(trial.startedAt)),
      step.toolName,
      setupWords(trial.setup),
      step.kind,
      step.direction,
      plainNumber(step.plannedS, 3),
      place?.role ?? '',
      plainNumber(place?.round ?? null, 0),
      plainNumber(place?.repeat ?? null, 0),
      plainNumber(sustained, torque.decimals),
      qualityVerdict === null ? '' : qualityWords[qualityVerdict],
      stateWords(trial),
      trial.tags.join('; '),
      suspicionWords(trial.suspicion, formatWhen)?.mark ?? '',
      trial.isSimulated ? 'simulated' : '',
      trial.id,
    ];
  });
  return tabSeparated([header, ...rows]);
}

/** By the clock of this computer, in the form that sorts as a text: 2026-03-04 10:20:30. */
export function sortableTime(instant: Date): string {
  const two = (value: number) => String(value).padStart(2, '0');
  const day = [instant.getFullYear(), two(instant.getMonth() + 1), two(instant.getDate())].join('-');
  return `${day} ${[instant.getHours(), instant.getMinutes(), instant.getSeconds()].map(two).join(':')}`;
}
