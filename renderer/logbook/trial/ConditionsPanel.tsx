import type { CalibrationVersion } from '../../../shared-lib/calibration/calibration-model.ts';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { conditionRows } from '../../../shared-lib/trial/words/condition-rows.ts';
import { CountsDownload } from '../CountsDownload.tsx';
import { describeTrialClock } from '../trial-clock.ts';

interface ConditionsPanelProps {
  readonly record: TrialRecord;
  /** The one that the trial was made with; null: it is not in the list. */
  readonly calibration: CalibrationVersion | null;
}

/** Bench and calibration as they were when the trial began. */
export function ConditionsPanel({ record, calibration }: ConditionsPanelProps) {
  const torque = useTorqueDisplay();
  const clock = describeTrialClock(record);
  return (
    <Panel title="The bench as it was">
      <DataList label="Conditions">
        {conditionRows(record, calibration, torque).map(({ name, value }) => (
          <DataRow key={name} name={name}>
            {value}
          </DataRow>
        ))}
      </DataList>
      <h3>What the times are worth</h3>
      <p>{clock.promise}</p>
      {clock.fit === null ? null : <p>{clock.fit}</p>}
      <CountsDownload record={record} />
    </Panel>
  );
}
