import type { SessionConditions } from '../../../shared-lib/run-sheet/session-model.ts';
import { ambientRows } from '../../../shared-lib/run-sheet/session-words.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { SavedQuantityField } from '../../setup/SavedQuantityField.tsx';
import { SavedTextField } from '../../setup/SavedTextField.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { FieldGrid, Panel } from '../../ui/Panel.tsx';
import type { QuantityRule } from '../../ui/read-quantity.ts';

interface SessionConditionsPanelProps {
  readonly conditions: SessionConditions;
  /** Then they can still be put right; afterwards they are what they were. */
  readonly isUnderWay: boolean;
  readonly onChanged: () => void;
}

/** Limits of the contract. */
const temperature: QuantityRule<'temperature'> = { kind: 'temperature', unit: 'degC', min: -40, max: 60 };
const humidity: QuantityRule<'percent'> = { kind: 'percent', unit: 'percent', min: 0, max: 100 };
const airPressure: QuantityRule<'pressure'> = { kind: 'pressure', unit: 'hPa', min: 500, max: 1100 };

export function SessionConditionsPanel({ conditions, isUnderWay, onChanged }: SessionConditionsPanelProps) {
  return (
    <Panel title="Rig and surroundings">
      {isUnderWay ? (
        <div className="session-on-screen">
          <ConditionsFields conditions={conditions} onChanged={onChanged} />
        </div>
      ) : null}
      <div className={isUnderWay ? 'session-on-paper' : ''}>
        <DataList label="Rig and surroundings">
          <DataRow name="Rig note">
            {conditions.rigNote === '' ? 'none' : <span className="logbook-text">{conditions.rigNote}</span>}
          </DataRow>
          {ambientRows(conditions).map(({ name, value }) => (
            <DataRow key={name} name={name}>
              {value}
            </DataRow>
          ))}
        </DataList>
      </div>
    </Panel>
  );
}

interface ConditionsFieldsProps {
  readonly conditions: SessionConditions;
  readonly onChanged: () => void;
}

function ConditionsFields({ conditions, onChanged }: ConditionsFieldsProps) {
  const connection = useConnection();
  const { run, error } = useAction();
  const save = async (change: Partial<SessionConditions>): Promise<boolean> => {
    const isSaved = await run(() => connection.request('updateSession', change));
    if (isSaved) onChanged();
    return isSaved;
  };
  return (
    <>
      <SavedTextField
        label="Rig note"
        saved={conditions.rigNote}
        save={(rigNote) => save({ rigNote })}
        error={null}
        maxLength={500}
        placeholder="such as: new bushing, bolts at 80 N·m"
        help="Saved when the field is left."
      />
      <FieldGrid>
        <SavedQuantityField
          label="Air temperature"
          rule={temperature}
          saved={conditions.ambientC}
          save={(ambientC) => save({ ambientC })}
        />
        <SavedQuantityField
          label="Relative humidity"
          rule={humidity}
          saved={conditions.relativeHumidityPercent}
          save={(relativeHumidityPercent) => save({ relativeHumidityPercent })}
        />
        <SavedQuantityField
          label="Air pressure"
          rule={airPressure}
          saved={conditions.airPressureHpa}
          save={(airPressureHpa) => save({ airPressureHpa })}
        />
      </FieldGrid>
      <FailureNotice error={error} />
    </>
  );
}
