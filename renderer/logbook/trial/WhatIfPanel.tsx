import { useState } from 'react';
import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { CalibrationVersion } from '../../../shared-lib/calibration/calibration-model.ts';
import { readingCalibrationId } from '../../../shared-lib/trial/assignment.ts';
import type { TrialFigures, TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import '../../calibrate/figure-table.css';
import { versionOption } from '../../calibrate/versions/version-option.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, FieldGrid, Panel } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { quantityReader } from '../../ui/read-quantity.ts';
import { SelectField } from '../../ui/SelectField.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { useTypedInUnit } from '../../ui/use-typed-in-unit.ts';
import {
  AS_READ,
  nothingAssumed,
  readWhatIfForm,
  type WhatIfForm,
  withWhatIfUnitNamed,
} from './what-if-form.ts';
import { whatIfRows } from './what-if-rows.ts';

interface WhatIfPanelProps {
  readonly record: TrialRecord;
  readonly figures: TrialFigures;
  readonly calibrations: readonly CalibrationVersion[];
}

/** Limits of the contract. */
const readTime = quantityReader({ kind: 'duration', unit: 'ms', min: 0.005, max: 2 });

/** The same counts measured under other assumptions, beside the stored figures. */
export function WhatIfPanel({ record, figures, calibrations }: WhatIfPanelProps) {
  const connection = useConnection();
  const torque = useTorqueDisplay();
  const action = useAction();
  const [form, writeForm] = useTypedInUnit(nothingAssumed, torque.unit, withWhatIfUnitNamed);
  const [found, setFound] = useState<RequestResult<'whatIfTrial'> | null>(null);
  const readTorque = quantityReader({
    kind: 'torque',
    unit: torque.unit,
    min: 0,
    max: 1e6,
    isMinExcluded: true,
  });
  const assumed = readWhatIfForm(form, readTorque, readTime);
  const readBy = readingCalibrationId(record);
  const others = calibrations.filter(
    ({ id, transducerId }) => id !== readBy && transducerId === record.conditions.transducer.id,
  );
  const change = (part: Partial<WhatIfForm>) => {
    writeForm((before) => ({ ...before, ...part }));
    // Figures of other assumptions than those above them would mislead.
    setFound(null);
  };
  const compute = async (): Promise<void> => {
    if (assumed === null) return;
    setFound(await connection.request('whatIfTrial', { trialId: record.summary.id, ...assumed }));
  };

  return (
    <Panel
      title="What if"
      lead="The same counts, read or measured otherwise. It is computed and shown, and nothing is stored."
    >
      <FieldGrid>
        <SelectField
          label="Calibration"
          options={[{ key: AS_READ, label: 'As it is read now' }, ...others.map(versionOption)]}
          selected={form.calibrationKey}
          onSelect={(calibrationKey) => change({ calibrationKey })}
        />
        <QuantityField
          label="Onset level"
          typed={form.onsetLevel}
          onTyped={(onsetLevel) => change({ onsetLevel })}
          parse={readTorque}
          placeholder={formatSignificant(figures.onsetLevelNm, torque.unit)}
        />
        <QuantityField
          label="Window of the measuring curve"
          typed={form.window}
          onTyped={(window) => change({ window })}
          parse={readTime}
          placeholder={formatSignificant(figures.windowS, 'ms')}
          help="The filter that all figures come through."
        />
      </FieldGrid>
      <ActionRow>
        <Button
          look="primary"
          isDisabled={assumed === null}
          isPending={action.isBusy}
          onPress={() => void action.run(compute)}
        >
          Show what would be
        </Button>
        <Button onPress={() => change(nothingAssumed)}>Assume nothing</Button>
      </ActionRow>
      <FailureNotice error={action.error} />
      {found === null ? null : <WhatIfResult found={found} figures={figures} />}
    </Panel>
  );
}

interface WhatIfResultProps {
  readonly found: RequestResult<'whatIfTrial'>;
  readonly figures: TrialFigures;
}

function WhatIfResult({ found, figures }: WhatIfResultProps) {
  const torque = useTorqueDisplay();
  return (
    <>
      <Notice kind="information" live="status">
        <strong>What if: nothing is stored.</strong> {found.assumptions.join(' ')}
      </Notice>
      <div className="figure-table-frame">
        <table className="figure-table what-if">
          <caption className="visually-hidden">Stored figures beside those of the what-if</caption>
          <thead>
            <tr>
              <th scope="col">Figure</th>
              {['Stored', 'What if', 'Difference'].map((title) => (
                <th key={title} scope="col" className="figure-table-number">
                  {title}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {whatIfRows(figures, found.figures, torque).map((row) => (
              <tr key={row.name} className={row.isChanged ? 'what-if-changed' : 'what-if-same'}>
                <th scope="row">{row.name}</th>
                <td className="figure-table-number">{row.stored}</td>
                <td className="figure-table-number what-if-value">{row.assumed}</td>
                <td className="figure-table-number">{row.difference}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
