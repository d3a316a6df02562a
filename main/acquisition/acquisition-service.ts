import type { EventPayload } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import {
  createTorqueConverter,
  type TorqueConverter,
} from '../../shared-lib/calibration/apply-calibration.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { createBinFolder, type BinFolder } from '../../shared-lib/signal/fold-live-bins.ts';
import { createLatestMean, type LatestMean } from '../../shared-lib/signal/latest-mean.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import { presentCounts } from '../../shared-lib/signal/trim-block.ts';
import { createSampleHistory, type SampleHistory } from './sample-history.ts';

const HISTORY_S = 5;
const LIVE_BINS_PER_S = 500;
const LATEST_MEAN_S = 0.1;

/** How counts become torque at this moment; null while there is no calibration or no zero. */
export interface LiveScale {
  readonly calibration: Pick<CalibrationVersion, 'forward' | 'reverse'>;
  readonly zeroCounts: number;
  readonly senseSign: 1 | -1;
}

/** A block as the trial sees it: raw, and in torque where there is a scale (NaN in gaps). */
export interface LiveSamples {
  readonly block: SampleBlock;
  readonly torqueNm: Float64Array | null;
}

export interface IdleRecord {
  readonly counts: Int32Array;
  readonly meanCounts: number;
  readonly spreadCounts: number;
}

export interface AcquisitionService {
  receive(block: SampleBlock): void;
  /** What came before is no part of what is read next. */
  amplifierLost(): void;
  /** Starts an empty stream: another amplifier, another rate. */
  restart(nominalRateHz: number): void;
  setScale(scale: LiveScale | null): void;
  blocksFrom(slot: number): SampleBlock[];
  lastSlot(): number | null;
  /** The last second; refuses with 'amplifier-silent' where there is less than that. */
  idleRecord(): IdleRecord;
}

/** Keeps the newest samples, converts them, and folds them into bins for the screen; nothing here is for keeps. */
export function createAcquisitionService(listeners: {
  /** As fitted so far; null: not known yet. */
  measuredRateHz(): number | null;
  onSamples(samples: LiveSamples): void;
  onLiveCurve(curve: EventPayload<'liveCurve'>): void;
}): AcquisitionService {
  let nominalRateHz = 80;
  /** Of the curve that is being drawn, and so of the time left: a trial that is armed starts one, and goes by the same rate. */
  let curveRateHz = nominalRateHz;
  let samplesPerBin = 1;
  let history: SampleHistory = createSampleHistory(0);
  let converter: TorqueConverter | null = null;
  let folder: BinFolder = createBinFolder(1);
  let latestMean: LatestMean = createLatestMean(1);
  let generation = 0;
  let segment = 0;

  const restartCurve = (): void => {
    generation += 1;
    curveRateHz = listeners.measuredRateHz() ?? nominalRateHz;
    folder = createBinFolder(samplesPerBin);
    latestMean = createLatestMean(Math.max(1, Math.round(nominalRateHz * LATEST_MEAN_S)));
  };

  const valuesOf = (block: SampleBlock): Float64Array => {
    if (converter) return converter.convertBlock(block.counts, block.gaps);
    const values = Float64Array.from(block.counts);
    for (const gap of block.gaps) values.fill(Number.NaN, gap.offset, gap.offset + gap.length);
    return values;
  };

  const draw = (block: SampleBlock, values: Float64Array, readAtUs?: number): void => {
    const bins = folder.push(block.firstSlot, values);
    latestMean.push(block.firstSlot, values);
    const latest = latestMean.mean();
    listeners.onLiveCurve({
      generation,
      quantity: converter ? 'torqueNm' : 'counts',
      sampleRateHz: curveRateHz,
      samplesPerBin,
      firstBin: bins.firstBin,
      min: bins.min,
      max: bins.max,
      latestMean: latest,
      isOutsideCalibratedRange: converter !== null && latest !== null && converter.isOutsideRange(latest),
      ...(readAtUs === undefined ? {} : { readAtUs }),
    });
  };

  return {
    receive(block) {
      if (block.segment !== segment) {
        segment = block.segment;
        restartCurve();
      }
      history.add(block);
      if (block.counts.length === 0) return;
      const values = valuesOf(block);
      draw(block, values, block.arrivalUs);
      listeners.onSamples({ block, torqueNm: converter ? values : null });
    },

    restart(rateHz) {
      nominalRateHz = rateHz;
      samplesPerBin = Math.max(1, Math.floor(rateHz / LIVE_BINS_PER_S));
      history = createSampleHistory(slotsToHold(rateHz));
      restartCurve();
    },

    amplifierLost() {
      history = createSampleHistory(slotsToHold(nominalRateHz));
    },

    setScale(scale) {
      converter = scale === null ? null : createTorqueConverter(scale);
      restartCurve();
      // The curve goes on with what is known, in the new scale, rather than from an empty screen.
      const known = history.newest(Math.ceil(HISTORY_S * nominalRateHz));
      if (known) draw(known, valuesOf(known));
    },

    blocksFrom: (slot) => history.blocksFrom(slot),
    lastSlot: () => history.lastSlot(),

    idleRecord() {
      const newest = history.newest(Math.ceil(nominalRateHz));
      const counts = newest ? presentCounts(newest) : new Int32Array(0);
      if (counts.length < 0.9 * nominalRateHz) {
        throw new AppError(
          'amplifier-silent',
          'There is not a whole second of samples yet. Wait a moment and try again; if no line comes, look at Setup.',
          { sampleCount: counts.length },
        );
      }
      let sum = 0;
      let least = Infinity;
      let greatest = -Infinity;
      for (const value of counts) {
        sum += value;
        if (value < least) least = value;
        if (value > greatest) greatest = value;
      }
      return { counts, meanCounts: sum / counts.length, spreadCounts: greatest - least };
    },
  };
}

function slotsToHold(rateHz: number): number {
  return Math.max(64, Math.ceil(HISTORY_S * rateHz));
}
