import { Pause, Play } from 'lucide-react';
import { useEffect, useMemo, useRef, useState } from 'react';
import { type CurveChart, chartFormats } from '../../../shared-lib/charts/chart-model.ts';
import { drawChart } from '../../../shared-lib/charts/draw-chart.ts';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import { loadPictureFonts } from '../../picture/picture-fonts.ts';
import { Button } from '../../ui/Button.tsx';
import { paintFrame, type ReplayLook } from './paint-frames.ts';
import { extentOf } from './replay-chart.ts';

interface ReplayPlayerProps {
  readonly chart: CurveChart;
  readonly look: ReplayLook;
}

/** How fine the time can be set by hand. */
const STEP_S = 0.01;

/** The replay as its file will be, at true speed: a frame that comes late is left out, never shown late. */
export function ReplayPlayer({ chart, look }: ReplayPlayerProps) {
  const { fromS, toS } = extentOf(chart);
  const [atS, setAtS] = useState(toS);
  const [isPlaying, setIsPlaying] = useState(false);
  const description = useMemo(() => drawChart(chart, look).description, [chart, look]);

  useEffect(() => {
    if (!isPlaying) return undefined;
    let frameId = 0;
    // From where it stands, by the clock and not by the number of frames.
    let startMs: number | null = null;
    const startS = atS >= toS ? fromS : atS;
    const step = (nowMs: number): void => {
      startMs ??= nowMs;
      const nextS = startS + (nowMs - startMs) / 1000;
      setAtS(Math.min(toS, nextS));
      if (nextS >= toS) setIsPlaying(false);
      else frameId = requestAnimationFrame(step);
    };
    frameId = requestAnimationFrame(step);
    return () => cancelAnimationFrame(frameId);
    // Where it is moves with every frame; only the start of playing reads it.
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [isPlaying, fromS, toS]);

  const seek = (nextS: number): void => {
    setIsPlaying(false);
    setAtS(nextS);
  };
  return (
    <div className="replay-player">
      <div className="replay-film share-groundless" data-theme={look.theme} data-format={look.format}>
        <ReplayCanvas chart={chart} look={look} atS={atS} description={description} />
      </div>
      <div className="replay-controls">
        <Button look="primary" onPress={() => setIsPlaying((before) => !before)}>
          {isPlaying ? <Pause aria-hidden="true" size={18} /> : <Play aria-hidden="true" size={18} />}
          {isPlaying ? 'Pause' : 'Play at true speed'}
        </Button>
        <label className="replay-seek">
          <span className="visually-hidden">Time from onset</span>
          <input
            type="range"
            min={fromS}
            max={toS}
            step={STEP_S}
            value={atS}
            aria-valuetext={`${formatNumber(atS, 2)} s from onset`}
            onChange={(event) => seek(Number(event.target.value))}
          />
        </label>
        <output className="replay-time">{`${formatNumber(atS, 2)}${THIN_SPACE}s`}</output>
      </div>
    </div>
  );
}

interface ReplayCanvasProps extends ReplayPlayerProps {
  readonly atS: number;
  readonly description: string;
}

/** With as many px as the screen has there, so that a frame is drawn in time. */
function ReplayCanvas({ chart, look, atS, description }: ReplayCanvasProps) {
  const ref = useRef<HTMLCanvasElement>(null);
  const [widthPx, setWidthPx] = useState(0);
  const [hasFonts, setHasFonts] = useState(false);
  const format = chartFormats[look.format];

  useEffect(() => {
    const canvas = ref.current;
    if (canvas === null) return undefined;
    const observer = new ResizeObserver(([entry]) => setWidthPx(entry?.contentRect.width ?? 0));
    observer.observe(canvas);
    return () => observer.disconnect();
  }, []);
  useEffect(() => {
    let isWanted = true;
    const done = (): void => {
      if (isWanted) setHasFonts(true);
    };
    // Without its typeface the picture is still right in all but its letters.
    loadPictureFonts(drawChart(chart, look)).then(done, done);
    return () => {
      isWanted = false;
    };
  }, [chart, look]);
  useEffect(() => {
    const canvas = ref.current;
    const context = canvas?.getContext('2d') ?? null;
    if (canvas === null || context === null || widthPx <= 0 || !hasFonts) return;
    const scale = (widthPx * devicePixelRatio) / format.widthPx;
    const [width, height] = [Math.round(format.widthPx * scale), Math.round(format.heightPx * scale)];
    if (canvas.width !== width || canvas.height !== height) {
      canvas.width = width;
      canvas.height = height;
    }
    context.setTransform(scale, 0, 0, scale, 0, 0);
    paintFrame(context, chart, look, atS);
  }, [chart, look, atS, widthPx, hasFonts, format]);

  return (
    <canvas
      ref={ref}
      className="replay-canvas"
      style={{ aspectRatio: `${format.widthPx} / ${format.heightPx}` }}
      role="img"
      aria-label={description}
    />
  );
}
