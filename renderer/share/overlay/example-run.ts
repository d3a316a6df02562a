import type { CurvePoints } from '../../../shared-lib/overlay/curve-points.ts';
import { formatQuantity, formatTorque } from '../../../shared-lib/format-quantity.ts';
import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type { RunFrame } from '../../overlay/shown-frames.ts';

const PLANNED_S = 5;
const CEILING_NM = 520;
const RISE_S = 0.7;
const BLOW_SHARE = 0.08;
const FALL_S = 0.08;

/** An invented run that has just been kept, to judge a look by while nothing is pulled. */
export function exampleRun(torqueUnit: TorqueUnit): RunFrame {
  return {
    kind: 'run',
    runId: 'example',
    atUs: 0,
    toolName: 'Hollin H5 (demo)',
    stepWords: 'forward, 5 s',
    plannedS: PLANNED_S,
    torqueUnit,
    phase: 'over',
    isSimulated: true,
    figures: [
      { label: 'sustained torque', text: formatTorque(501, torqueUnit, 0) },
      { label: `to ${formatTorque(400, torqueUnit, 0)}`, text: formatQuantity(1.03, 's', 2) },
    ],
  };
}

export function exampleCurve(): CurvePoints {
  const timeS = Float64Array.from({ length: 1300 }, (_, index) => -0.5 + index / 200);
  const level = (atS: number): number => {
    const pulled = CEILING_NM * (1 - Math.exp(-Math.max(0, Math.min(atS, PLANNED_S)) / RISE_S));
    return atS > PLANNED_S ? pulled * Math.exp(-(atS - PLANNED_S) / FALL_S) : pulled;
  };
  return {
    timeS,
    minNm: timeS.map((atS) => level(atS) * (1 - BLOW_SHARE)),
    maxNm: timeS.map((atS) => level(atS) * (1 + BLOW_SHARE)),
  };
}
