import { ToggleButton } from 'react-aria-components';
import { useSettings } from '../api-client/ConnectionContext.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import type { CompleteChoice } from './choose-pair.ts';
import { type AddressedChoice } from './compare-address.ts';
import { measureKey } from '../../shared-lib/comparison/measure-key.ts';
import { measureQuestion, measuresOf } from '../../shared-lib/comparison/words/measure-choices.ts';

interface QuestionsProps {
  readonly choice: CompleteChoice;
  readonly onChange: (change: Partial<AddressedChoice>) => void;
}

/** What people ask, as sentences: one click, and the verdict answers. */
export function Questions({ choice, onChange }: QuestionsProps) {
  const torque = useTorqueDisplay();
  const levelsNm = useSettings()?.levelsNm ?? [];
  return (
    <div className="compare-questions" role="group" aria-label="Questions">
      {measuresOf(choice.step, levelsNm).map((measure) => {
        const key = measureKey(measure);
        return (
          <ToggleButton
            key={key}
            className="compare-question"
            isSelected={key === measureKey(choice.measure)}
            onChange={() => onChange({ measure })}
          >
            {measureQuestion(measure, torque)}
          </ToggleButton>
        );
      })}
    </div>
  );
}
