import { useState } from 'react';
import type { CalibrationInput, CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { useConnection, useSettings } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow, FieldGrid } from '../ui/Panel.tsx';
import { QuantityField } from '../ui/QuantityField.tsx';
import { valueOf } from '../ui/read-quantity.ts';
import { TextField } from '../ui/TextField.tsx';
import { readers } from './calibration-form.ts';

interface SaveCalibrationProps {
  /** Null while the form above it is not complete. */
  readonly input: CalibrationInput | null;
  /** The one whose counts were read. */
  readonly transducerId: string | null;
  /** The version in use, which the new one would supersede. */
  readonly active: CalibrationVersion | null;
  readonly onSaved: (version: CalibrationVersion) => void;
}

/** Shorter than this says nothing (the contract's limit). */
const MIN_REASON_LENGTH = 3;

export function SaveCalibration({ input, transducerId, active, onSaved }: SaveCalibrationProps) {
  const connection = useConnection();
  const operator = useSettings()?.operator ?? '';
  const { run, isBusy, error } = useAction();
  const [label, setLabel] = useState('');
  const [uncertainty, setUncertainty] = useState('');
  const [note, setNote] = useState('');
  const [reason, setReason] = useState('');

  const isUncertaintyReadable = uncertainty.trim() === '' || 'value' in readers.uncertainty(uncertainty);
  const isReasonGiven = active === null || reason.trim().length >= MIN_REASON_LENGTH;
  const canSave = input !== null && label.trim() !== '' && isUncertaintyReadable && isReasonGiven;

  const save = () =>
    run(async () => {
      if (input === null) return;
      const version = await connection.request('saveCalibration', {
        label: label.trim(),
        input,
        enteredUncertaintyPercent:
          uncertainty.trim() === '' ? null : valueOf(readers.uncertainty(uncertainty)),
        note: note.trim(),
        supersedeReason: active === null ? null : reason.trim(),
        supersedesId: active?.id ?? null,
        ...(transducerId === null ? {} : { transducerId }),
      });
      onSaved(version);
    });

  return (
    <>
      <FieldGrid>
        <TextField
          label="Label"
          value={label}
          onChange={setLabel}
          placeholder="such as 20 kg on the 0.5 m arm"
          maxLength={120}
          isRequired
        />
        <QuantityField
          label="Uncertainty, expanded (k = 2)"
          typed={uncertainty}
          onTyped={setUncertainty}
          parse={readers.uncertainty}
          placeholder="such as 0.5 %"
          help="In percent, if you know it; it is shown “as entered”"
        />
        <TextField label="Note" value={note} onChange={setNote} maxLength={500} />
        {active === null ? null : (
          <TextField
            label={`Why it replaces “${active.label}”`}
            value={reason}
            onChange={setReason}
            help="At least three characters. The old version stays with its trials."
            maxLength={500}
            isRequired
          />
        )}
      </FieldGrid>
      <ActionRow>
        <Button look="primary" onPress={() => void save()} isDisabled={!canSave} isPending={isBusy}>
          Save this calibration and use it
        </Button>
        <span className="calibrate-aside">
          {operator === '' ? 'No operator is named in Setup.' : `By ${operator}.`}
        </span>
      </ActionRow>
      <FailureNotice error={error} />
    </>
  );
}
