import { useState } from 'react';
import type { FitOverride, SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { CandidatesTable } from './CandidatesTable.tsx';
import { senseTitles } from '../../../shared-lib/calibration/words/result-sentences.ts';

const LEAST_REASON_LENGTH = 3;
const degrees = [
  { key: '1', label: 'Straight line' },
  { key: '2', label: 'Second degree' },
  { key: '3', label: 'Third degree' },
] as const;

export interface FitOverrideDialogProps {
  readonly result: SenseResult;
  /** Null: back to what the rule chooses. */
  readonly onDecide: (override: FitOverride | null) => void;
  readonly onClose: () => void;
}

/** Another degree or a constant than the rule's choice, with a reason that stays with the calibration. */
export function FitOverrideDialog({ result, onDecide, onClose }: FitOverrideDialogProps) {
  const [degree, setDegree] = useState<'1' | '2' | '3'>(
    degrees.find(({ key }) => Number(key) === result.degree)?.key ?? '1',
  );
  const [hasConstant, setHasConstant] = useState(result.hasConstant);
  const [reason, setReason] = useState(result.overrideReason ?? '');
  const offered = degrees.filter(({ key }) =>
    result.candidates.some((candidate) => candidate.degree === Number(key)),
  );
  const isReady = reason.trim().length >= LEAST_REASON_LENGTH;
  const decide = (override: FitOverride | null) => {
    onDecide(override);
    onClose();
  };
  return (
    <Dialog
      title={`Another fit, ${senseTitles[result.sense].toLowerCase()}`}
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button
            look="primary"
            isDisabled={!isReady}
            onPress={() =>
              decide({ sense: result.sense, degree: Number(degree), hasConstant, reason: reason.trim() })
            }
          >
            Use this fit
          </Button>
          {result.overrideReason === null ? null : (
            <Button onPress={() => decide(null)}>Back to what the rule says</Button>
          )}
          <Button look="quiet" onPress={onClose}>
            Leave it as it is
          </Button>
        </>
      }
    >
      {result.overrideReason === null ? <p>The rule says: {result.degreeReason}</p> : null}
      <ChoiceField label="Degree" choices={offered} selected={degree} onSelect={setDegree} />
      <Checkbox isSelected={hasConstant} onChange={setHasConstant}>
        With a constant: the curve then makes a step at the zero
      </Checkbox>
      <CandidatesTable result={result} />
      <TextField
        label="Why"
        value={reason}
        onChange={setReason}
        help="At least three characters. It stands in the report."
        maxLength={500}
        isRequired
      />
    </Dialog>
  );
}
