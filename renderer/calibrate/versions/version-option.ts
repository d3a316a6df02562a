import type { CalibrationVersion } from '../../../shared-lib/calibration/calibration-model.ts';
import { formatDateTime } from '../../ui/date-time.ts';
import type { SelectOption } from '../../ui/SelectField.tsx';
import { methodWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';

/** A version as it stands in a list to choose from: two may have one label, so its day is said too. */
export function versionOption(version: CalibrationVersion): SelectOption<string> {
  const { id, label, createdAt, supersededAt, method } = version;
  return {
    key: id,
    label,
    note: `${formatDateTime(createdAt)}, ${methodWords(method)}${supersededAt === null ? ', in use' : ''}`,
  };
}
