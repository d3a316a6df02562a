import type { AppError } from '../../shared-lib/app-error.ts';
import type { CalibrationPreview as Preview } from '../../shared-lib/api-contract.ts';
import { formatQuantity } from '../../shared-lib/format-quantity.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Notice } from '../ui/Notice.tsx';
import { formatSignificant } from '../../shared-lib/format-significant.ts';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { gainWords, ratingCaution } from '../../shared-lib/calibration/words/calibration-sentences.ts';

interface CalibrationPreviewProps {
  readonly preview: Preview | null;
  readonly error: AppError | null;
  readonly missing: readonly string[];
  readonly transducer: Transducer | null;
}

/** What the entries come to, before anything is stored. */
export function CalibrationPreview({ preview, error, missing, transducer }: CalibrationPreviewProps) {
  const torque = useTorqueDisplay();
  if (missing.length > 0) {
    return (
      <div className="calibrate-missing">
        <p>Still needed:</p>
        <ul>
          {missing.map((name) => (
            <li key={name}>{name}</li>
          ))}
        </ul>
      </div>
    );
  }
  if (error !== null) return <FailureNotice error={error} />;
  if (preview === null) return <p>Computing.</p>;

  const greatestNm = Math.max(preview.forwardTorqueNm ?? 0, preview.reverseTorqueNm ?? 0);
  const caution = ratingCaution(greatestNm, transducer, (nm) => formatSignificant(nm, torque.unit));
  return (
    <>
      {caution === null ? null : (
        <Notice kind="caution" live="alert">
          {caution}
        </Notice>
      )}
      <DataList label="What the entries come to">
        <TorqueRow name="Forward torque" torqueNm={preview.forwardTorqueNm} />
        <GainRow name="Forward gain" gain={preview.forwardGainNmPerCount} />
        <TorqueRow name="Reverse torque" torqueNm={preview.reverseTorqueNm} />
        <GainRow name="Reverse gain" gain={preview.reverseGainNmPerCount} />
        {preview.gravityMps2 === null ? null : (
          <DataRow name="Gravity" kind="figure">
            {formatQuantity(preview.gravityMps2, 'mPerS2', 5)}
          </DataRow>
        )}
      </DataList>
      {preview.remarks.length === 0 ? null : (
        <ul className="calibrate-remarks" aria-label="Remarks">
          {preview.remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      )}
    </>
  );
}

function TorqueRow({ name, torqueNm }: { readonly name: string; readonly torqueNm: number | null }) {
  const { unit } = useTorqueDisplay();
  return (
    <DataRow name={name} kind="figure">
      {torqueNm === null ? 'not loaded' : formatSignificant(torqueNm, unit)}
    </DataRow>
  );
}

function GainRow({ name, gain }: { readonly name: string; readonly gain: number | null }) {
  const { unit } = useTorqueDisplay();
  return (
    <DataRow name={name} kind="figure">
      {gain === null ? 'not loaded' : gainWords(gain, unit)}
    </DataRow>
  );
}
