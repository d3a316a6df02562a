import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { displayTorque, type TorqueDisplay } from '../../shared-lib/torque-display.ts';
import { useSettings, useStatus } from '../api-client/ConnectionContext.tsx';

export function torqueDisplay(unit: TorqueUnit, status: BenchStatus | null): TorqueDisplay {
  const { calibration } = status ?? { calibration: null };
  return displayTorque(
    unit,
    status?.transducer?.capacityNm ?? null,
    calibration?.foundUncertaintyPercent ?? calibration?.enteredUncertaintyPercent ?? null,
  );
}

/** How torque is shown at this moment, the same in every place. */
export function useTorqueDisplay(): TorqueDisplay {
  const settings = useSettings();
  const status = useStatus();
  return torqueDisplay(settings?.torqueUnit ?? 'Nm', status);
}
