import { beforeEach, describe, expect, it } from 'vitest';
import { CurveDataset } from '../../../../renderer/live-curve/curve-dataset.ts';
import { mapWindow, scrolledTo, type LiveWindow } from '../../../../renderer/live-curve/trace-mapping.ts';
import { TILE_COLUMNS, type TraceSurface } from '../../../../renderer/live-curve/trace-tiles.ts';
import { TracePainter, type TraceScale } from '../../../../renderer/live-curve/trace-painter.ts';

type Stroke = readonly [verb: 'moveTo' | 'lineTo', x: number, y: number];

/** Stands in for the browser's canvases: writes down what was drawn on which tile, and where the picture was moved to. */
class RecordingSurface implements TraceSurface {
  strokes: Stroke[] = [];
  touchedTiles: number[] = [];
  positions: number[] = [];
  clearings = 0;

  tile(index: number): CanvasRenderingContext2D {
    const left = index * TILE_COLUMNS;
    this.touchedTiles.push(index);
    const context = {
      beginPath: (): void => undefined,
      moveTo: (x: number, y: number): void => void this.strokes.push(['moveTo', left + x, y]),
      lineTo: (x: number, y: number): void => void this.strokes.push(['lineTo', left + x, y]),
      stroke: (): void => undefined,
    };
    return context as unknown as CanvasRenderingContext2D;
  }
  scrollTo(firstColumn: number): void {
    this.positions.push(firstColumn);
  }
  clear(): void {
    this.clearings += 1;
  }

  take(): Stroke[] {
    const taken = this.strokes;
    this.strokes = [];
    return taken;
  }
}

const run: LiveWindow = { kind: 'run', onsetSlot: 0, fromS: 0, toS: 1, untilSlot: null };

function append(dataset: CurveDataset, firstBin: number, lows: readonly number[], highs = lows): void {
  dataset.append({
    generation: 1,
    quantity: 'torqueNm',
    sampleRateHz: 100,
    samplesPerBin: 1,
    firstBin,
    min: Float32Array.from(lows),
    max: Float32Array.from(highs),
    latestMean: null,
    isOutsideCalibratedRange: false,
  });
}

/** 100 columns for 100 slots: one column per bin; value v lies at y = 100 - v. */
function scaleOf(columnCount = 100): TraceScale {
  return {
    heightPx: 100,
    mapping: mapWindow(run, 100, 0, columnCount),
    endBin: 1000,
    minValue: 0,
    maxValue: 100,
    color: 'black',
    lineWidth: 2,
  };
}

describe('TracePainter', () => {
  let recorder: RecordingSurface;
  let painter: TracePainter;
  let dataset: CurveDataset;
  beforeEach(() => {
    recorder = new RecordingSurface();
    painter = new TracePainter(recorder);
    dataset = new CurveDataset(1000);
  });

  it('draws only the newest segment, joined to the line so far', () => {
    append(dataset, 0, [10, 20, 30]);
    painter.redraw(dataset, scaleOf());
    // The last column stays open until the next one begins: more of it may come.
    expect(recorder.take()).toEqual([
      ['moveTo', 0.5, 90],
      ['lineTo', 0.5, 90],
      ['lineTo', 1.5, 80],
      ['lineTo', 1.5, 80],
    ]);
    append(dataset, 3, [40]);
    painter.advance(dataset, scaleOf());
    expect(recorder.take()).toEqual([
      ['moveTo', 1.5, 80],
      ['lineTo', 2.5, 70],
      ['lineTo', 2.5, 70],
    ]);
    expect(recorder.clearings).toBe(1);
  });

  it('draws nothing and clears nothing when nothing is new', () => {
    append(dataset, 0, [10, 20]);
    painter.redraw(dataset, scaleOf());
    recorder.take();
    painter.advance(dataset, scaleOf());
    expect(recorder.take()).toEqual([]);
    expect(recorder.clearings).toBe(1);
  });

  it('leaves a gap open instead of drawing across it', () => {
    append(dataset, 0, [10, Number.NaN, 30, 40]);
    painter.redraw(dataset, scaleOf());
    expect(recorder.take().map(([verb, x]) => [verb, x])).toEqual([
      ['moveTo', 0.5],
      ['lineTo', 0.5],
      ['moveTo', 2.5],
      ['lineTo', 2.5],
    ]);
  });

  it('joins bins that share a column to their least and greatest value', () => {
    append(dataset, 0, [10, 5, 20, 30, 30], [15, 12, 60, 31, 31]);
    painter.redraw(dataset, scaleOf(25));
    expect(recorder.take()).toEqual([
      ['moveTo', 0.5, 95],
      ['lineTo', 0.5, 40],
    ]);
  });

  it('stops where the recording was cut short', () => {
    append(dataset, 0, [10, 20, 30, 40, 50]);
    painter.redraw(dataset, { ...scaleOf(), endBin: 3 });
    expect(recorder.take().at(-1)).toEqual(['lineTo', 1.5, 80]);
  });

  it('slides the rolling picture by whole columns and draws what came in', () => {
    const rolling: LiveWindow = { kind: 'rolling', spanS: 1 };
    append(dataset, 0, new Array<number>(100).fill(50));
    const first = { ...scaleOf(), mapping: mapWindow(rolling, 100, 100, 100) };
    painter.redraw(dataset, first);
    recorder.take();
    append(dataset, 100, [60, 70, 80]);
    painter.advance(dataset, { ...first, mapping: scrolledTo(first.mapping, 103) });
    expect(recorder.positions).toEqual([0, 3]);
    expect(recorder.take().at(-1)).toEqual(['lineTo', 101.5, 30]);
  });

  it('touches only the tile at the end of the trace, and its neighbour where the line is at its edge', () => {
    append(dataset, 0, new Array<number>(101).fill(50));
    const scale = { ...scaleOf(2560), mapping: mapWindow({ ...run, toS: 10 }, 100, 0, 2560) };
    painter.redraw(dataset, scale);
    // 2.56 columns per bin: the line has come to column 254 and reaches into the next tile by its width.
    expect(recorder.touchedTiles).toEqual([0, 1]);
    recorder.touchedTiles = [];
    append(dataset, 101, new Array<number>(19).fill(50));
    painter.advance(dataset, scale);
    recorder.touchedTiles = [];
    append(dataset, 120, [50, 50]);
    painter.advance(dataset, scale);
    expect(recorder.touchedTiles).toEqual([1]);
  });
});
