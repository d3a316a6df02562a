import { ArrowLeftRight } from 'lucide-react';
import { useSettings } from '../api-client/ConnectionContext.tsx';
import { Button } from '../ui/Button.tsx';
import { SelectField } from '../ui/SelectField.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import type { CompleteChoice, ListedContender, ListedContenders } from './choose-pair.ts';
import { sharedSteps } from './choose-pair.ts';
import { type AddressedChoice, stepKey } from './compare-address.ts';
import { measureKey } from '../../shared-lib/comparison/measure-key.ts';
import { stepName } from '../../shared-lib/comparison/words/compare-sentences.ts';
import { measureName, measuresOf } from '../../shared-lib/comparison/words/measure-choices.ts';
import { contenderOptions } from './picker-options.ts';
import { SessionPicker } from './SessionPicker.tsx';

interface ComparePickersProps {
  readonly listed: ListedContenders;
  readonly choice: CompleteChoice;
  readonly a: ListedContender;
  readonly b: ListedContender;
  readonly onChange: (change: Partial<AddressedChoice>) => void;
}

/** Who, by which step, by which measure, and from which sessions. */
export function ComparePickers({ listed, choice, a, b, onChange }: ComparePickersProps) {
  const torque = useTorqueDisplay();
  const levelsNm = useSettings()?.levelsNm ?? [];
  const options = contenderOptions(listed.contenders, choice.step);
  const steps = sharedSteps(listed, a, b);
  const known = measuresOf(choice.step, levelsNm);
  // A level of the address that Setup no longer has still stands for what is shown.
  const isKnown = known.some((one) => measureKey(one) === measureKey(choice.measure));
  const measures = isKnown ? known : [...known, choice.measure];
  const swap = () => onChange({ a: choice.b, b: choice.a });
  // Whoever is chosen on one side and stood on the other changes sides, so that nobody stands against themselves.
  const choose = (side: 'a' | 'b', other: 'a' | 'b') => (key: string) => {
    if (key === choice[other]) swap();
    else onChange({ [side]: key, sessionIds: null, isForced: false });
  };
  return (
    <div className="compare-pickers" role="search" aria-label="What is compared">
      <SelectField label="A" options={options} selected={choice.a} onSelect={choose('a', 'b')} />
      <Button onPress={swap} aria-label="Swap A and B">
        <ArrowLeftRight aria-hidden="true" size={18} />
      </Button>
      <SelectField label="B" options={options} selected={choice.b} onSelect={choose('b', 'a')} />
      <SelectField
        label="Step"
        options={steps.map((step) => ({ key: stepKey(step), label: stepName(step) }))}
        selected={stepKey(choice.step)}
        onSelect={(key) =>
          onChange({
            step: steps.find((step) => stepKey(step) === key) ?? choice.step,
            sessionIds: null,
            isForced: false,
          })
        }
      />
      <SelectField
        label="Measure"
        options={measures.map((measure) => ({
          key: measureKey(measure),
          label: measureName(measure, torque),
        }))}
        selected={measureKey(choice.measure)}
        onSelect={(key) =>
          onChange({ measure: measures.find((measure) => measureKey(measure) === key) ?? choice.measure })
        }
      />
      <SessionPicker listed={listed} choice={choice} a={a} b={b} onChange={onChange} />
    </div>
  );
}
