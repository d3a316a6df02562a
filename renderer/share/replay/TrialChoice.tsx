import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { setupWords, stepWords } from '../../../shared-lib/trial/words/pull-words.ts';
import { formatTrialTime } from '../../ui/date-time.ts';
import { Checkbox } from '../../ui/Toggles.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { MOST_REPLAYED, toggled } from './choose-trials.ts';

interface TrialChoiceProps {
  /** The newest first. */
  readonly trials: readonly TrialSummary[];
  /** How many there are, listed or not. */
  readonly total: number;
  readonly chosen: readonly string[];
  readonly onChoose: (chosen: readonly string[]) => void;
}

/** Which trials are replayed side by side. */
export function TrialChoice({ trials, total, chosen, onChoose }: TrialChoiceProps) {
  const torque = useTorqueDisplay();
  if (trials.length < 2) return null;
  const isFull = chosen.length >= MOST_REPLAYED;
  return (
    <fieldset className="replay-trials">
      <legend className="ui-label">
        Trials, one to five at a time: {chosen.length} of {trials.length} chosen
        {isFull ? '. Take one off to choose another.' : ''}
        {total > trials.length
          ? `. These are the newest of ${total}; choose a session or a trial above for an older one.`
          : ''}
      </legend>
      <ul>
        {trials.map((trial) => {
          const isChosen = chosen.includes(trial.id);
          const { step, setup, startedAt, sustainedTorqueNm, isVoided } = trial;
          const words = [setupWords(setup), stepWords(step), formatTrialTime(startedAt)].filter(Boolean);
          return (
            <li key={trial.id}>
              <Checkbox
                isSelected={isChosen}
                isDisabled={(isFull && !isChosen) || (isChosen && chosen.length === 1)}
                onChange={() => onChoose(toggled(chosen, trial.id))}
              >
                <strong>{step.toolName}</strong> <span className="share-soft">{words.join(', ')}</span>
                {isVoided ? <span className="share-mark">voided</span> : null}
                {sustainedTorqueNm === null ? null : (
                  <span className="replay-trial-figure">{torque.format(sustainedTorqueNm)}</span>
                )}
              </Checkbox>
            </li>
          );
        })}
      </ul>
    </fieldset>
  );
}
