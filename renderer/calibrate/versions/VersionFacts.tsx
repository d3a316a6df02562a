import type { CalibrationVersion } from '../../../shared-lib/calibration/calibration-model.ts';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import {
  methodWords,
  operatorWords,
  senseWords,
  versionUncertaintyWords,
} from '../../../shared-lib/calibration/words/calibration-sentences.ts';

/** What a version is, in a few rows. */
export function VersionFacts({ version }: { readonly version: CalibrationVersion }) {
  const torque = useTorqueDisplay();
  const { supersededAt, supersedeReason } = version;
  return (
    <DataList label={version.label}>
      <DataRow name="Forward">{senseWords(version.forward, torque.unit, torque.format)}</DataRow>
      <DataRow name="Reverse">{senseWords(version.reverse, torque.unit, torque.format)}</DataRow>
      <DataRow name="Uncertainty" note="Static calibration; dynamic error not included">
        {versionUncertaintyWords(version)}
      </DataRow>
      <DataRow name="From">{methodWords(version.method)}</DataRow>
      <DataRow name="Made">
        {formatDateTime(version.createdAt)}, {operatorWords(version.operator)}
      </DataRow>
      {version.note === '' ? null : <DataRow name="Note">{version.note}</DataRow>}
      {supersededAt === null ? null : (
        <DataRow name="Superseded">
          {formatDateTime(supersededAt)}: {supersedeReason ?? 'no reason stored'}
        </DataRow>
      )}
    </DataList>
  );
}
