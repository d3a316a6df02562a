import type { SampleBlock } from '../signal/sample-block.ts';
import { createCountBinFolder, type CountBin } from './fold-count-bins.ts';
import { type Allowance, isJump, judgeWindow, type SteadyWindow, TENTHS } from './steady-window.ts';

/** Ours: a reading that has not come to rest after so many dwells is told. */
const PATIENCE_DWELLS = 4;
/** Creep is read over some ten seconds at most, so that "at 30 s" means it. */
const CREEP_WINDOW_S = 10;
/** The meter on the screen moves about so often, and a load that comes off is seen as soon. */
const FINE_BIN_S = 0.1;
/** Bounds the work of a dwell of many minutes. */
const MOST_BINS_PER_TENTH = 30;
/** Beyond this nobody asks any more how long a load has hung. */
const LONGEST_LOAD_S = 400;

/** What a reading waits for. */
export interface Asked {
  /** Mean of the reading before, whose load still hangs; null: not known, or the load need not change. */
  readonly beforeCounts: number | null;
  /** The load is another one once the reading has moved by so much; 0 where it stays the same. */
  readonly leastChangeCounts: number;
  readonly allowed: Allowance;
  /** Taken at this time after the load was hung, instead of after a dwell; null: a dwell. */
  readonly creepAtS: number | null;
}

export interface Steadiness {
  /** `unchanged`: still the load of the reading before. `settling`: at rest for less than the dwell. */
  readonly phase: 'unchanged' | 'moving' | 'settling' | 'steady';
  /** Null before the first mean. */
  readonly window: SteadyWindow | null;
  readonly heldS: number;
  readonly dwellS: number;
  /** The load has changed, or need not, and has still not come to rest after four dwells. */
  readonly isNeverSteady: boolean;
  /** Since the load came to rest; null where that was not seen, or the load was touched meanwhile. */
  readonly loadedS: number | null;
}

export interface SteadinessWatch {
  /** Another reading is asked for: the dwell begins anew. What is known of the load stays. */
  ask(asked: Asked): void;
  /** Blocks in order. Another segment, or too many lost samples, begin the dwell anew. */
  push(block: SampleBlock): void;
  /** The dwell begins anew, and since when the load hangs is not known any more. */
  forget(): void;
  state(): Steadiness;
}

/**
 * Watches whether a reading holds still, on the sample clock.
 *
 * Samples are averaged over a tenth of a second or less; these means make up the tenths of the dwell. The dwell counts as
 * far back as its tenths stay within the spread limit; it is steady when that is a whole dwell and the drift (least squares
 * over the tenths) is within its limit too. Noise is estimated from the differences of neighbouring samples, which slow
 * movement hardly touches.
 */
export function createSteadinessWatch(given: {
  readonly sampleRateHz: number;
  readonly dwellS: number;
}): SteadinessWatch {
  const tenthS = given.dwellS / TENTHS;
  const fineS = Math.max(FINE_BIN_S, tenthS / MOST_BINS_PER_TENTH);
  const binsPerTenth = Math.max(1, Math.round(tenthS / fineS));
  const slotsPerBin = Math.max(1, Math.round((tenthS / binsPerTenth) * given.sampleRateHz));
  const binS = slotsPerBin / given.sampleRateHz;
  const dwellBins = TENTHS * binsPerTenth;
  const creepBins = Math.max(1, Math.min(dwellBins, Math.round(CREEP_WINDOW_S / binS)));
  const mostBins = Math.max(2 * dwellBins, Math.ceil(LONGEST_LOAD_S / binS));
  const folder = createCountBinFolder(slotsPerBin);

  let asked: Asked = {
    beforeCounts: null,
    leastChangeCounts: 0,
    allowed: { spreadCounts: 0, driftCounts: 0 },
    creepAtS: null,
  };
  /** Of the load that hangs, from when it came to rest; the newest last. */
  let load: CountBin[] = [];
  /** What hung there for a dwell before the newest movement. */
  let formerCounts: number | null = null;
  let isLoadTimeKnown = false;
  /** How many of the newest means belong to the reading that is asked for. */
  let joined = 0;
  let isMoving = false;
  let waitedBins = 0;

  const judge = (bins: readonly CountBin[], perTenth = binsPerTenth): SteadyWindow =>
    judgeWindow(bins, perTenth, binS, asked.allowed);

  const isUnchanged = (meanCounts: number): boolean =>
    asked.beforeCounts !== null && Math.abs(meanCounts - asked.beforeCounts) < asked.leastChangeCounts;

  const startMoving = (): void => {
    if (load.length >= dwellBins) formerCounts = judge(load.slice(-dwellBins)).meanCounts;
    load = [];
    joined = 0;
  };

  const comeToRest = (bin: CountBin): void => {
    if (!isMoving) return;
    // A load that was only touched has crept on meanwhile: its time is lost.
    isLoadTimeKnown =
      formerCounts === null ||
      Math.abs(bin.meanCounts - formerCounts) > 2 * judge(load.concat(bin)).spreadLimitCounts;
  };

  const takeIn = (bin: CountBin): void => {
    const previous = load.at(-1);
    const isJumping = previous !== undefined && isJump(previous, bin, asked.allowed.spreadCounts);
    if (isJumping) startMoving();
    else comeToRest(bin);
    isMoving = isJumping;
    if (load.length === mostBins) {
      load = load.slice(-dwellBins);
      isLoadTimeKnown = false;
    }
    load.push(bin);
    joined = Math.min(joined + 1, dwellBins);
    while (joined > 1 && !judge(load.slice(-joined)).isSpreadWithin) joined -= 1;
    waitedBins = isUnchanged(bin.meanCounts) ? 0 : waitedBins + 1;
  };

  const restart = (): void => {
    load = [];
    formerCounts = null;
    isLoadTimeKnown = false;
    joined = 0;
    isMoving = false;
    waitedBins = 0;
  };

  const dwellState = (loadedS: number | null): Steadiness => {
    const window = joined === 0 ? null : judge(load.slice(-joined));
    const unchanged = window !== null && !isMoving && isUnchanged(window.meanCounts);
    const isWhole = joined === dwellBins && window?.isDriftWithin === true;
    const phase = isMoving ? 'moving' : unchanged ? 'unchanged' : isWhole ? 'steady' : 'settling';
    return {
      phase,
      window,
      heldS: unchanged ? 0 : joined * binS,
      dwellS: dwellBins * binS,
      isNeverSteady: phase !== 'steady' && !unchanged && waitedBins > PATIENCE_DWELLS * dwellBins,
      loadedS,
    };
  };

  /** The mean over the window that ends at the time asked for, out of what was kept since the load was hung. */
  const creepState = (creepAtS: number, loadedS: number | null): Steadiness => {
    const binsUntil = Math.max(creepBins, Math.floor(creepAtS / binS));
    const isReached = isLoadTimeKnown && load.length >= binsUntil;
    const bins = isReached ? load.slice(binsUntil - creepBins, binsUntil) : load.slice(-creepBins);
    return {
      phase: isMoving ? 'moving' : isReached ? 'steady' : 'settling',
      window: bins.length === 0 ? null : judge(bins, Math.max(1, Math.floor(creepBins / TENTHS))),
      heldS: Math.min(loadedS ?? 0, creepAtS),
      dwellS: creepAtS,
      isNeverSteady: false,
      loadedS,
    };
  };

  return {
    ask(next) {
      asked = next;
      joined = 0;
      waitedBins = 0;
    },
    push(block) {
      for (const bin of folder.push(block)) {
        if (bin === 'broken') restart();
        else takeIn(bin);
      }
    },
    forget: restart,
    state() {
      const loadedS = isLoadTimeKnown ? load.length * binS : null;
      return asked.creepAtS === null ? dwellState(loadedS) : creepState(asked.creepAtS, loadedS);
    },
  };
}
