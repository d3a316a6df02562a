import { useEffect, useRef, useState } from 'react';
import type { CurveChart, CurveView } from './curve-chart.ts';
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
  const viewRef = useRef(view);
  const [failure, setFailure] = useState<Error | null>(null);
  if (failure !== null) throw failure;

  useEffect(() => {
    const host = hostRef.current;
    if (host === null) return undefined;
    let isMounted = true;
    // The library that draws is a fifth of the page: the window is of use before it is there, and the feed keeps what comes.
    import('./curve-chart.ts').then(
      (loaded) => {
        if (isMounted) chartRef.current = new loaded.CurveChart(host, feed, viewRef.current, onPlotArea);
      },
      (cause: unknown) => setFailure(new Error('The live curve could not be fetched', { cause })),
    );
    return () => {
      isMounted = false;
      chartRef.current?.destroy();
      chartRef.current = null;
    };
  }, [feed, onPlotArea]);

  useEffect(() => {
    viewRef.current = view;
    chartRef.current?.show(view);
  }, [view]);

  return (
    <div className="live-curve" role="img" aria-label={summary}>
      <div className="live-curve-host" ref={hostRef} />
    </div>
  );
}
