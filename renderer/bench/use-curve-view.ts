import { useMemo } from 'react';
import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { CurveView } from '../live-curve/curve-chart.ts';
import { curveColorIndex } from '../live-curve/curve-style.ts';
import { useLiveFeed } from '../live-curve/LiveFeedContext.tsx';
import type { TimeWindow } from '../live-curve/trace-mapping.ts';
import { useStoredCurves } from './use-earlier-curves.ts';

const ROLLING_SPAN_S = 5;
const BEFORE_ONSET_S = 0.5;
/** The tail, during which the torque goes and the labels stand. */
const AFTER_END_S = 1;
/** The least top of the torque axis, so that noise does not fill the screen. */
const LEAST_TOP_OF_CAPACITY = 0.05;
const LEAST_TOP_NM = 10;

/** What the live picture is to show at this moment of a trial. */
export function useCurveView(status: BenchStatus, unit: TorqueUnit, axisPx: number): CurveView {
  const feed = useLiveFeed();
  const { trial } = status;
  const trialId = 'trialId' in trial ? trial.trialId : null;
  const place = trialId === null ? null : feed.placeOf(trialId);
  const onsetSlot = 'onsetSlot' in trial ? trial.onsetSlot : (place?.onsetSlot ?? null);
  const untilSlot = place?.untilSlot ?? null;
  const step = 'step' in trial ? trial.step : status.step;
  const isFinished = trial.phase === 'kept' || trial.phase === 'reviewing' || trial.phase === 'interrupted';
  const stored = useStoredCurves(
    {
      step,
      setupId: status.runSheet?.current?.setup.setupId ?? null,
      currentId: trialId,
      isSimulated: status.transducer?.isSimulated ?? false,
    },
    isFinished && onsetSlot === null,
  );
  const leastTopNm = Math.max((status.transducer?.capacityNm ?? 0) * LEAST_TOP_OF_CAPACITY, LEAST_TOP_NM);
  const { toolName, plannedS } = step;

  return useMemo(
    () => ({
      window: windowOf(onsetSlot, untilSlot, plannedS, isFinished),
      labelAtS: plannedS,
      unit,
      leastTopNm,
      earlier: stored.earlier,
      own: stored.own === null ? null : { ...stored.own, colorIndex: curveColorIndex(toolName) },
      live: { label: 'this run', colorIndex: curveColorIndex(toolName), isFinished },
      fontPx: axisPx,
    }),
    [onsetSlot, untilSlot, plannedS, unit, leastTopNm, stored, toolName, isFinished, axisPx],
  );
}

/** Without an onset on the live curve a finished trial shows its stored curve, anything else the rolling picture. */
function windowOf(
  onsetSlot: number | null,
  untilSlot: number | null,
  plannedS: number,
  isFinished: boolean,
): TimeWindow {
  const fromS = -BEFORE_ONSET_S;
  const toS = plannedS + AFTER_END_S;
  if (onsetSlot !== null) return { kind: 'run', onsetSlot, fromS, toS, untilSlot };
  return isFinished ? { kind: 'stored', fromS, toS } : { kind: 'rolling', spanS: ROLLING_SPAN_S };
}
