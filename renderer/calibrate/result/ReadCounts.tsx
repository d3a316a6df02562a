import { useState } from 'react';
import type { SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import { readDeflection } from '../../../shared-lib/calibration/uncertainty-at.ts';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { valueOf } from '../../ui/read-quantity.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { readCounts } from '../calibration-form.ts';

/** The other way round: from a deflection to its torque, with its interval. */
export function ReadCounts({
  result,
  time,
}: {
  readonly result: SenseResult;
  readonly time: 'calibration' | 'bench';
}) {
  const torque = useTorqueDisplay();
  const [typed, setTyped] = useState('');
  const counts = typed.trim() === '' ? null : valueOf(readCounts(typed));
  const read = counts === null ? null : readDeflection(result, counts, time);
  return (
    <div className="calibrate-result-read">
      <QuantityField
        label={`Read a deflection, ${result.sense}`}
        typed={typed}
        onTyped={setTyped}
        parse={readCounts}
        help="Counts less the zero"
      />
      <p role="status">
        {read === null
          ? ''
          : `${torque.format(read.torqueNm)} ± ${torque.format(read.expandedNm)} (95 %)${read.isOutsideRange ? ', outside the calibrated range' : ''}`}
      </p>
    </div>
  );
}
