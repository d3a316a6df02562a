import { weightsUsed } from '../../../shared-lib/calibration/words/standards-sentences.ts';
import type { CalibrationResult } from '../../../shared-lib/calibration/result-model.ts';
import type { RunSetup } from '../../../shared-lib/calibration/run-model.ts';
import { formatNumber, formatQuantity, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import '../figure-table.css';
import {
  armWords,
  siteWords,
  weightWords,
} from '../../../shared-lib/calibration/words/standards-sentences.ts';

interface StandardsUsedProps {
  readonly setup: RunSetup;
  readonly result: CalibrationResult | null;
}

/** What the torque is traced to, as it was then: later changes of the lists do not reach it. */
export function StandardsUsed({ setup, result }: StandardsUsedProps) {
  return (
    <>
      <div className="figure-table-frame">
        <table className="figure-table">
          <caption>Weights, as they were on the day</caption>
          <thead>
            <tr>
              <th scope="col">Name</th>
              <th scope="col">Mass, tolerance, density</th>
              <th scope="col">Certificate</th>
              <th scope="col">Holds until</th>
            </tr>
          </thead>
          <tbody>
            {weightsUsed(setup.levels).map((weight) => (
              <tr key={weight.id}>
                <th scope="row">{weight.name}</th>
                <td>{weightWords(weight)}</td>
                <td>{weight.certificate === '' ? 'none' : weight.certificate}</td>
                <td>{weight.certificateValidUntil ?? 'no day named'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <DataList label="Arm, place and environment">
        <DataRow name={setup.shortArm === null ? 'Arm' : 'First arm'} note={armWords(setup.arm)}>
          {setup.arm.name}
        </DataRow>
        {setup.shortArm === null ? null : (
          <DataRow name="Second arm" note={armWords(setup.shortArm)}>
            {setup.shortArm.name}
          </DataRow>
        )}
        <DataRow name="Place" note={siteWords(setup.site)}>
          {setup.site.name}
        </DataRow>
        {result === null ? null : (
          <>
            <DataRow name="Gravity that was taken" kind="figure">
              {formatQuantity(result.gravityMps2, 'mPerS2', 5)}
            </DataRow>
            <DataRow name="Air density that was taken" kind="figure">
              {formatNumber(result.airDensityKgM3, 4)}
              {THIN_SPACE}kg/m³
            </DataRow>
          </>
        )}
      </DataList>
    </>
  );
}
