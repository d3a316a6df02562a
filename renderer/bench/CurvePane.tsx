import { type ReactNode, useCallback, useState } from 'react';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import { FreshFaults } from '../faults/FreshFaults.tsx';
import { LiveCurve } from '../live-curve/LiveCurve.tsx';
import { type PlotArea, spanOf } from '../live-curve/trace-mapping.ts';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { summariseCurve } from './curve-summary.ts';
import { TimeBand } from './TimeBand.tsx';
import { useCurveView } from './use-curve-view.ts';
import './curve-pane.css';

/** Once a run has been decided its time is over, while the samples go on coming. */
function isTimed(phase: TrialView['phase']): boolean {
  return phase === 'run' || phase === 'tail' || phase === 'unloading' || phase === 'saving';
}

/** The live curve, which takes most of the screen, and the band of time under it. */
export function CurvePane({
  status,
  isReached,
  axisPx,
  areFaultsShown = true,
  isHeldBack = false,
  children,
}: {
  readonly status: BenchStatus;
  readonly isReached: boolean;
  readonly axisPx: number;
  readonly areFaultsShown?: boolean;
  /** True: the figures are not to be said yet. */
  readonly isHeldBack?: boolean;
  /** Stands in the corner under the curve. */
  readonly children?: ReactNode;
}) {
  const display = useTorqueDisplay();
  const view = useCurveView(status, display.unit, axisPx);
  const [plot, setPlot] = useState({ left: 0, width: 0 });
  const onPlotArea = useCallback(
    ({ left, width }: PlotArea) =>
      setPlot((before) => (before.left === left && before.width === width ? before : { left, width })),
    [],
  );
  return (
    <div className="curve-pane">
      {areFaultsShown ? <FreshFaults status={isReached ? status : null} /> : null}
      <LiveCurve
        view={view}
        summary={summariseCurve(view, status.trial, display, isHeldBack)}
        onPlotArea={onPlotArea}
      />
      <div className="curve-pane-band">
        {view.window.kind === 'run' && isReached && isTimed(status.trial.phase) ? (
          <TimeBand
            onsetSlot={view.window.onsetSlot}
            plannedS={view.labelAtS}
            leftPx={plot.left + (-view.window.fromS / spanOf(view.window)) * plot.width}
            widthPx={(view.labelAtS / spanOf(view.window)) * plot.width}
          />
        ) : null}
      </div>
      {children === undefined ? null : <div className="curve-pane-corner">{children}</div>}
    </div>
  );
}
