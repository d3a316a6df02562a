import { type RefObject, useEffect, useEffectEvent, useLayoutEffect, useRef, useState } from 'react';
import { readCurveColors, watchTheme } from '../../live-curve/curve-style.ts';
import { CurveOverlay, type OverlayContent } from './curve-overlay.ts';
import { type PictureContent, TrialChart } from './trial-chart.ts';

/** Widths are rounded to this, so that dragging the window's edge does not ask for a new curve at every pixel. */
const BIN_STEP = 50;
const MIN_BINS = 100;
const MAX_BINS = 4000;

/** About the width of the picture in CSS pixels; null before it is known. */
export function useBins(hostRef: RefObject<HTMLDivElement | null>): number | null {
  const [bins, setBins] = useState<number | null>(null);
  // At once, and not at the observer's first word a frame later: the curve is asked for with it.
  useLayoutEffect(() => {
    const host = hostRef.current;
    if (host === null) return undefined;
    const measure = () => {
      const rounded = Math.round(host.clientWidth / BIN_STEP) * BIN_STEP;
      setBins(Math.min(Math.max(rounded, MIN_BINS), MAX_BINS));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(host);
    return () => observer.disconnect();
  }, [hostRef]);
  return bins;
}

/** Keeps a chart and what lies above it in the host, as long as the component is there. */
export function useTrialChart(
  hostRef: RefObject<HTMLDivElement | null>,
  content: PictureContent | null,
  overlay: OverlayContent,
): RefObject<TrialChart | null> {
  const chartRef = useRef<TrialChart | null>(null);
  const overlayRef = useRef<CurveOverlay | null>(null);
  const draw = useEffectEvent(() => {
    const host = hostRef.current;
    if (host === null || content === null) return;
    if (chartRef.current !== null) {
      chartRef.current.show(content);
      return;
    }
    const above = new CurveOverlay(host);
    overlayRef.current = above;
    chartRef.current = new TrialChart(host, content, readCurveColors(host), (mapping) =>
      above.follow(mapping),
    );
  });
  const recolor = useEffectEvent(() => {
    const host = hostRef.current;
    if (host !== null) chartRef.current?.setColors(readCurveColors(host));
  });
  useLayoutEffect(() => draw(), [content]);
  useLayoutEffect(() => overlayRef.current?.show(overlay), [overlay, content]);
  useEffect(() => watchTheme(() => recolor()), []);
  useEffect(() => {
    const host = hostRef.current;
    return () => {
      chartRef.current?.destroy();
      chartRef.current = null;
      overlayRef.current = null;
      host?.replaceChildren();
    };
  }, [hostRef]);
  return chartRef;
}
