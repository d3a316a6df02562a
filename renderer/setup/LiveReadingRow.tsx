import { formatNumber, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import { useLiveReading } from '../live-curve/LiveFeedContext.tsx';
import { DataRow } from '../ui/DataRow.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';

/** The newest reading: raw counts until there is a calibration. */
export function LiveReadingRow() {
  const reading = useLiveReading();
  const torque = useTorqueDisplay();
  const mean = reading?.mean ?? null;
  return (
    <DataRow name="Reading now" kind="figure">
      {mean === null
        ? 'none yet'
        : reading?.quantity === 'counts'
          ? `${formatNumber(mean, 0)}${THIN_SPACE}counts`
          : torque.format(mean)}
    </DataRow>
  );
}
