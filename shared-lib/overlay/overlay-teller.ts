import type { TorqueUnit } from '../api-contract.ts';
import type { BenchStatus, LiveCurve, TrialView } from '../bench-status.ts';
import { describeEntry } from '../run-sheet/describe-entry.ts';
import { displayTorque, type TorqueDisplay } from '../torque-display.ts';
import type { Step } from '../trial/step-model.ts';
import { stepWords } from '../trial/words/pull-words.ts';
import { type CurvePoints, GrowingCurve } from './curve-points.ts';
import { type OverlayFigure, liveFigure, resultFigures } from './overlay-figures.ts';
import type { OverlayFrame } from './overlay-model.ts';

type RunFrame = Extract<OverlayFrame, { kind: 'run' }>;
type SamplesFrame = Extract<OverlayFrame, { kind: 'samples' }>;

/** What of the status an audience is told. */
export type ToldStatus = Pick<
  BenchStatus,
  'trial' | 'step' | 'runSheet' | 'transducer' | 'calibration' | 'amplifier'
>;

export interface ToldWith {
  readonly torqueUnit: TorqueUnit;
  /** What a kept trial came to is not to be seen yet: whoever rates the tool may look this way too. */
  isHeldBack(trialId: string): boolean;
}

/** From what the services tell of the bench to what an audience sees of it: no more than the Bench shows. */
export interface OverlayTeller {
  takeStatus(status: ToldStatus, told: ToldWith, nowUs: number): void;
  takeCurve(curve: LiveCurve, nowUs: number): void;
  /** All that a page has to know which has just come. */
  greeting(nowUs: number): OverlayFrame[];
}

const BEFORE_ONSET_S = 0.5;
/** Onset is known some time after it was: see the holds of the onset detector. */
const HELD_S = 3;
/** So that it can be read. */
const LEAST_BETWEEN_LIVE_US = 100_000;

interface Piece {
  readonly curve: LiveCurve;
  readonly readAtUs: number;
}

/** `tell` is called with each frame as it comes about. Instants are on the host's monotonic clock. */
export function createOverlayTeller(tell: (frame: OverlayFrame) => void): OverlayTeller {
  let run: RunFrame | null = null;
  let status: ToldStatus | null = null;
  let display: TorqueDisplay = displayTorque('Nm', null, null);
  /** The newest of the live curve, for what lies before an onset that is known only later. */
  let held: Piece[] = [];
  let generation = -1;
  let recording: { readonly runId: string; readonly onsetSlot: number } | null = null;
  const soFar = new GrowingCurve();
  let readAtUs = 0;
  let live: OverlayFigure | null = null;
  let nextLiveUs = -Infinity;
  let runNumber = 0;

  const show = (next: RunFrame): void => {
    const isSame =
      run !== null && JSON.stringify({ ...run, atUs: 0 }) === JSON.stringify({ ...next, atUs: 0 });
    if (isSame) return;
    run = next;
    tell(next);
  };

  const tellSamples = (points: CurvePoints, lastReadAtUs: number): void => {
    if (recording === null || points.timeS.length === 0) return;
    soFar.append(points);
    tell({ kind: 'samples', runId: recording.runId, ...points, readAtUs: lastReadAtUs });
  };

  const follow = (trial: TrialView): void => {
    if (trial.phase !== 'run' && trial.phase !== 'tail') {
      recording = null;
      return;
    }
    if (recording?.runId === trial.trialId) return;
    recording = { runId: trial.trialId, onsetSlot: trial.onsetSlot };
    soFar.clear();
    for (const { curve, readAtUs: pieceReadAtUs } of held) {
      if (curve.quantity === 'torqueNm') tellSamples(pointsOf(curve, trial.onsetSlot), pieceReadAtUs);
    }
  };

  /** A pull begins with its onset, which is known only after it has been held; a page that shows things later shows it in time. */
  const onsetUs = (onsetSlot: number, nowUs: number): number => {
    const newest = held.at(-1);
    if (newest === undefined) return nowUs;
    const { firstBin, min, samplesPerBin, sampleRateHz } = newest.curve;
    const slotsSince = (firstBin + min.length) * samplesPerBin - 1 - onsetSlot;
    return Math.min(nowUs, newest.readAtUs - (slotsSince * 1e6) / sampleRateHz);
  };

  const showRun = (told: ToldWith, nowUs: number): void => {
    if (status === null) return;
    const { trial } = status;
    const phase = phaseOf(trial);
    const step = 'step' in trial ? trial.step : status.step;
    const isAnother = phase === 'ready' && run?.phase !== 'ready';
    if (isAnother) runNumber += 1;
    const before = `before-${String(runNumber)}`;
    const isPullBegun = trial.phase === 'run' && recording?.runId !== trial.trialId;
    show({
      kind: 'run',
      runId: 'trialId' in trial ? trial.trialId : before,
      atUs: isPullBegun ? onsetUs(trial.onsetSlot, nowUs) : nowUs,
      toolName: step.toolName,
      stepWords: wordsOf(status, step),
      plannedS: step.plannedS,
      torqueUnit: told.torqueUnit,
      phase,
      isSimulated: status.transducer?.isSimulated ?? false,
      figures: figuresOf(trial, live, display, told),
    });
  };

  let newestTold: ToldWith | null = null;
  return {
    takeStatus(next, told, nowUs) {
      status = next;
      newestTold = told;
      const { calibration, transducer } = next;
      display = displayTorque(
        told.torqueUnit,
        transducer?.capacityNm ?? null,
        calibration?.foundUncertaintyPercent ?? calibration?.enteredUncertaintyPercent ?? null,
      );
      if (next.amplifier.link !== 'connected') live = null;
      // The run before its samples, or they would belong to none.
      showRun(told, nowUs);
      follow(next.trial);
    },

    takeCurve(curve, nowUs) {
      if (curve.generation !== generation) {
        generation = curve.generation;
        held = [];
      }
      readAtUs = curve.readAtUs ?? nowUs;
      held.push({ curve, readAtUs });
      const heldBins = (HELD_S * curve.sampleRateHz) / curve.samplesPerBin;
      const endBin = curve.firstBin + curve.min.length;
      while (held[0] !== undefined && held[0].curve.firstBin + held[0].curve.min.length < endBin - heldBins) {
        held.shift();
      }
      if (recording !== null && curve.quantity === 'torqueNm') {
        tellSamples(pointsOf(curve, recording.onsetSlot), readAtUs);
      }
      live = liveFigure(curve, display);
      if (readAtUs < nextLiveUs || newestTold === null) return;
      nextLiveUs = readAtUs + LEAST_BETWEEN_LIVE_US;
      showRun(newestTold, readAtUs);
    },

    greeting(nowUs) {
      if (run === null) return [];
      const points = soFar.points();
      const samples: SamplesFrame = { kind: 'samples', runId: run.runId, ...points, readAtUs };
      const isOfThisRun = points.timeS.length > 0 && isCurveShown(run.phase);
      return [{ ...run, atUs: Math.min(run.atUs, nowUs) }, ...(isOfThisRun ? [samples] : [])];
    },
  };
}

function isCurveShown(phase: RunFrame['phase']): boolean {
  return phase === 'running' || phase === 'over';
}

function phaseOf({ phase }: TrialView): RunFrame['phase'] {
  switch (phase) {
    case 'idle':
      return 'idle';
    case 'countdown':
    case 'waiting':
      return 'ready';
    case 'run':
    case 'tail':
      return 'running';
    case 'unloading':
    case 'saving':
    case 'reviewing':
    case 'kept':
    case 'interrupted':
      return 'over';
  }
}

/** Blind keep holds for the audience too: no figure of a run before it is kept. */
function figuresOf(
  trial: TrialView,
  live: OverlayFigure | null,
  display: TorqueDisplay,
  told: ToldWith,
): OverlayFigure[] {
  switch (trial.phase) {
    case 'countdown':
      return [{ label: 'starts in', text: String(trial.secondsLeft) }];
    case 'idle':
    case 'waiting':
    case 'run':
    case 'tail':
      return live === null ? [] : [live];
    case 'unloading':
    case 'saving':
      return [{ label: 'being stored', text: NO_FIGURE }];
    case 'reviewing':
      return [{ label: 'being decided', text: NO_FIGURE }];
    case 'kept':
      if (told.isHeldBack(trial.trialId)) return [{ label: 'shown after the rating', text: NO_FIGURE }];
      if (trial.isVoided) return [{ label: 'voided, not counted', text: NO_FIGURE }];
      return resultFigures(trial.step, trial.figures, display);
    case 'interrupted':
      return [{ label: 'interrupted, no result', text: NO_FIGURE }];
  }
}

const NO_FIGURE = '–';

/** With a run sheet "pack 2, forward, run 2 of 3", else "forward, 5 s": the tool stands above it. */
function wordsOf({ runSheet }: ToldStatus, step: Step): string {
  const current = runSheet?.current ?? null;
  const isCurrent =
    current !== null &&
    current.step.toolName === step.toolName &&
    current.step.kind === step.kind &&
    current.step.direction === step.direction &&
    current.step.plannedS === step.plannedS;
  if (runSheet === null || !isCurrent) return stepWords(step);
  const words = describeEntry(current, runSheet);
  const tool = `${step.toolName}, `;
  return words.startsWith(tool) ? words.slice(tool.length) : words;
}

/** Bins of a piece from shortly before onset on. */
function pointsOf(curve: LiveCurve, onsetSlot: number): CurvePoints {
  const { firstBin, samplesPerBin, sampleRateHz, min, max } = curve;
  const timeOf = (index: number): number =>
    ((firstBin + index + 0.5) * samplesPerBin - 0.5 - onsetSlot) / sampleRateHz;
  const first = Array.from({ length: min.length }, (_, index) => index).findIndex(
    (index) => timeOf(index) >= -BEFORE_ONSET_S,
  );
  if (first === -1)
    return { timeS: new Float64Array(0), minNm: new Float64Array(0), maxNm: new Float64Array(0) };
  return {
    timeS: Float64Array.from({ length: min.length - first }, (_, index) => timeOf(first + index)),
    minNm: Float64Array.from(min.subarray(first)),
    maxNm: Float64Array.from(max.subarray(first)),
  };
}
