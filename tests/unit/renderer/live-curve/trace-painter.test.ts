import { beforeEach, describe, expect, it } from 'vitest';
import { CurveDataset } from '../../../../renderer/live-curve/curve-dataset.ts';
import { mapWindow, scrolledTo, type LiveWindow } from '../../../../renderer/live-curve/trace-mapping.ts';
import { TracePainter, type TraceScale } from '../../../../renderer/live-curve/trace-painter.ts';

type Stroke = readonly [verb: 'moveTo' | 'lineTo', x: number, y: number];

/** Stands in for the browser's canvas: writes down what was drawn, and by how much the picture was shifted. */
class CanvasRecorder {
  strokes: Stroke[] = [];
  shifts: number[] = [];
  clearings = 0;
  canvas = { width: 100, height: 100 };
  moveTo = (x: number, y: number): void => void this.strokes.push(['moveTo', x, y]);
  lineTo = (x: number, y: number): void => void this.strokes.push(['lineTo', x, y]);
  drawImage = (_image: unknown, x: number): void => void this.shifts.push(x);
  clearRect = (): void => void (this.clearings += 1);
  save = (): void => undefined;
  restore = (): void => undefined;
  beginPath = (): void => undefined;
  rect = (): void => undefined;
  clip = (): void => undefined;
  stroke = (): void => undefined;

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
    area: { left: 0, top: 0, width: columnCount, height: 100 },
    mapping: mapWindow(run, 100, 0, columnCount),
    endBin: 1000,
    minValue: 0,
    maxValue: 100,
    color: 'black',
    lineWidth: 2,
  };
}

describe('TracePainter', () => {
  let recorder: CanvasRecorder;
  let painter: TracePainter;
  let dataset: CurveDataset;
  beforeEach(() => {
    recorder = new CanvasRecorder();
    painter = new TracePainter(recorder as unknown as CanvasRenderingContext2D);
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

  it('shifts the rolling picture by whole columns and draws what came in', () => {
    const rolling: LiveWindow = { kind: 'rolling', spanS: 1 };
    append(dataset, 0, new Array<number>(100).fill(50));
    const first = { ...scaleOf(), mapping: mapWindow(rolling, 100, 100, 100) };
    painter.redraw(dataset, first);
    recorder.take();
    append(dataset, 100, [60, 70, 80]);
    painter.advance(dataset, { ...first, mapping: scrolledTo(first.mapping, 103) });
    expect(recorder.shifts).toEqual([-3]);
    expect(recorder.take().at(-1)).toEqual(['lineTo', 98.5, 30]);
  });
});
