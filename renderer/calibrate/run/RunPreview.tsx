import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { AppError } from '../../../shared-lib/app-error.ts';
import type { RunSetup } from '../../../shared-lib/calibration/run-model.ts';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { FindingsList } from '../result/FindingsList.tsx';
import { levelTorqueFormat } from './level-torque.ts';
import { minutesOf } from './run-options.ts';

export interface RunPreviewProps {
  readonly missing: readonly string[];
  /** Null while it is not known. */
  readonly preview: RequestResult<'previewRun'> | null;
  readonly error: AppError | null;
  readonly setup: RunSetup | null;
}

/** What the setup asks for, and what speaks against it, before anything is hung. */
export function RunPreview({ missing, preview, error, setup }: RunPreviewProps) {
  const { unit } = useTorqueDisplay();
  if (missing.length > 0) return <p className="run-aside">Still needed: {missing.join(', ')}.</p>;
  if (error !== null) return <FailureNotice error={error} />;
  if (preview === null || setup === null) return <p className="run-aside">Working it out.</p>;
  const { readings, levelsNm, findings } = preview;
  const highestNm = Math.max(...levelsNm);
  const format = levelTorqueFormat(levelsNm, unit);
  return (
    <>
      <DataList label="What the run asks for">
        <DataRow name="Readings" kind="figure">
          {readings.length}, about {minutesOf(readings, setup.dwellS)} min
        </DataRow>
        <DataRow name={levelsNm.length === 1 ? 'Torque' : 'Torques'} kind="figure">
          {levelsNm.length === 1
            ? format(highestNm)
            : `${levelsNm.length} levels, ${format(Math.min(...levelsNm))} to ${format(highestNm)}`}
        </DataRow>
        <DataRow name="Senses">{setup.senses.join(', then ')}</DataRow>
      </DataList>
      <FindingsList findings={findings} label="What to look at before the start" />
    </>
  );
}
