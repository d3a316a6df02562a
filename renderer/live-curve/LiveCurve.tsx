import { useEffect, useRef, useState } from 'react';
import { CurveChart, type CurveView } from './curve-chart.ts';
import { useLiveFeed } from './LiveFeedContext.tsx';
import type { PlotArea } from './trace-mapping.ts';
import './live-curve.css';

export interface LiveCurveProps {
  /** Memoised by the caller: each new one draws the whole picture again. */
  readonly view: CurveView;
  /** What the picture shows, for those who do not see it. */
  readonly summary: string;
  /** Hears where the plot lies, so that a band below can stand under it. */
  readonly onPlotArea: (area: PlotArea) => void;
}

/** Mounts the picture; samples go past React straight onto its canvas. */
export function LiveCurve({ view, summary, onPlotArea }: LiveCurveProps) {
  const feed = useLiveFeed();
  const hostRef = useRef<HTMLDivElement>(null);
  const chartRef = useRef<CurveChart | null>(null);
  const [firstView] = useState(view);

  useEffect(() => {
    if (hostRef.current === null) return undefined;
    const chart = new CurveChart(hostRef.current, feed, firstView, onPlotArea);
    chartRef.current = chart;
    return () => {
      chartRef.current = null;
      chart.destroy();
    };
  }, [feed, firstView, onPlotArea]);

  useEffect(() => {
    chartRef.current?.show(view);
  }, [view]);

  return (
    <div className="live-curve" role="img" aria-label={summary}>
      <div className="live-curve-host" ref={hostRef} />
    </div>
  );
}
