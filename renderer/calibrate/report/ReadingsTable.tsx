import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { formatNumber, fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { formatTrialTime } from '../../ui/date-time.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import '../figure-table.css';
import {
  readingRemarks,
  readingsCaption,
  readingsInOrder,
  stageWords,
} from '../../../shared-lib/calibration/words/report-sentences.ts';

/** Every reading as it was taken, those too that a redo replaced. */
export function ReadingsTable({ run }: { readonly run: CalibrationRun }) {
  const torque = useTorqueDisplay();
  const planned = new Map(run.readings.map((reading) => [reading.index, reading]));
  const taken = readingsInOrder(run);
  return (
    <div className="figure-table-frame">
      <table className="figure-table report-readings">
        <caption>{readingsCaption(run)}</caption>
        <thead>
          <tr>
            <th scope="col">Sense</th>
            <th scope="col">Stage</th>
            <th scope="col" className="figure-table-number">
              Mounting
            </th>
            <th scope="col" className="figure-table-number">
              {torque.unitLabel}
            </th>
            <th scope="col" className="figure-table-number">
              Counts
            </th>
            <th scope="col" className="figure-table-number">
              Deviation
            </th>
            <th scope="col">Taken</th>
            <th scope="col">Remarks</th>
          </tr>
        </thead>
        <tbody>
          {taken.map(({ reading, isReplaced }) => {
            const plan = planned.get(reading.index);
            return (
              <tr key={reading.id} className={isReplaced ? 'report-replaced' : undefined}>
                <td>{plan?.sense}</td>
                <td>{plan === undefined ? '' : stageWords[plan.stage]}</td>
                <td className="figure-table-number">{plan?.mounting}</td>
                <td className="figure-table-number">
                  {plan === undefined ? '' : formatNumber(fromOwnUnit(plan.torqueNm, torque.unit), 2)}
                </td>
                <td className="figure-table-number">{formatNumber(reading.meanCounts, 1)}</td>
                <td className="figure-table-number">{formatNumber(reading.standardDeviationCounts, 1)}</td>
                <td>{formatTrialTime(reading.takenAt)}</td>
                <td>{readingRemarks(reading, isReplaced)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
