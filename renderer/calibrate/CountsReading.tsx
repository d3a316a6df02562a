import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { QuantityField } from '../ui/QuantityField.tsx';
import { readCounts } from './calibration-form.ts';
import { type Capture, steadinessSentence } from './steadiness.ts';

export interface CountsReadingProps {
  readonly label: string;
  /** What to do before the reading is taken. */
  readonly instruction: string;
  readonly typed: string;
  readonly capture: Capture | null;
  readonly deflectionCounts: number | null;
  readonly canCapture: boolean;
  readonly isRequired?: boolean;
  /** `capture` null: typed by hand. */
  readonly onCounts: (typed: string, capture: Capture | null) => void;
}

export function CountsReading(props: CountsReadingProps) {
  const {
    label,
    instruction,
    typed,
    capture,
    deflectionCounts,
    canCapture,
    isRequired = false,
    onCounts,
  } = props;
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const take = () =>
    run(async () => {
      const taken = await connection.request('captureCounts', {});
      onCounts(String(Math.round(taken.meanCounts)), taken);
    });
  return (
    <div className="calibrate-reading">
      <p>{instruction}</p>
      <div className="calibrate-reading-row">
        <QuantityField
          label={label}
          typed={typed}
          onTyped={(text) => onCounts(text, null)}
          parse={readCounts}
          isRequired={isRequired}
        />
        <Button onPress={() => void take()} isDisabled={!canCapture} isPending={isBusy}>
          Take the reading
        </Button>
      </div>
      <p className="calibrate-steadiness" role="status">
        {capture === null ? '' : steadinessSentence(capture, deflectionCounts)}
      </p>
      <FailureNotice error={error} />
    </div>
  );
}
