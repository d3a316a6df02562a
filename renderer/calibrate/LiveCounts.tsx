import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { formatNumber } from '../../shared-lib/format-quantity.ts';
import { useLiveReading } from '../live-curve/LiveFeedContext.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';

/** Large, as it is read while standing at the arm. Screen readers skip it: it changes ten times a second. */
export function LiveCounts({ status }: { readonly status: BenchStatus | null }) {
  const reading = useLiveReading();
  const torque = useTorqueDisplay();
  const isConnected = status?.amplifier.link === 'connected';
  const mean = isConnected ? (reading?.mean ?? null) : null;
  if (reading === null || mean === null) {
    return (
      <p className="calibrate-live calibrate-aside">
        {isConnected
          ? 'Waiting for the first reading.'
          : 'No amplifier is connected, so readings can only be typed.'}
      </p>
    );
  }
  const isTorque = reading.quantity === 'torqueNm';
  return (
    <div className="calibrate-live" aria-hidden="true">
      <span className="calibrate-live-name">{isTorque ? 'Now, by the calibration in use' : 'Now'}</span>
      <span className="calibrate-live-value">
        {isTorque ? torque.formatNumber(mean) : formatNumber(mean, 0)}
        <span className="calibrate-live-unit">{isTorque ? torque.unitLabel : 'counts'}</span>
      </span>
    </div>
  );
}
