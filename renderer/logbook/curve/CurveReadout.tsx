import type { TrialCurve } from '../../../shared-lib/api-contract.ts';
import type { TorqueDisplay } from '../../../shared-lib/torque-display.ts';
import { type CurveReading, readingWords } from './read-curve.ts';

interface CurveReadoutProps {
  readonly curve: TrialCurve | null;
  readonly reading: CurveReading | null;
  /** Null while the figures of the trial are hidden. */
  readonly torque: TorqueDisplay | null;
}

/** What stands under the cursor. */
export function CurveReadout({ curve, reading, torque }: CurveReadoutProps) {
  if (curve === null || reading === null) {
    return (
      <p className="trial-readout trial-aside">
        Point at the picture, or give it the focus and use the arrow keys: what is there stands here. Shift
        and arrows select a stretch.
      </p>
    );
  }
  const words = readingWords(reading, curve.binWidthS, torque);
  const samples = Math.round(curve.binWidthS * curve.sampleRateHz);
  return (
    <dl className="trial-readout">
      <div>
        <dt>From onset</dt>
        <dd>{words.time}</dd>
      </div>
      <div>
        <dt>Measuring curve</dt>
        <dd>{words.measuring}</dd>
      </div>
      <div>
        <dt>{samples > 1 ? `Raw, ${samples} samples` : 'Raw sample'}</dt>
        <dd>{words.raw}</dd>
      </div>
    </dl>
  );
}
