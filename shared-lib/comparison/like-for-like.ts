import { formatQuantity, formatRate, formatTorqueInBothUnits } from '../format-quantity.ts';
import { measuresVersionOf } from '../trial/definition-version.ts';
import type { BenchOfTrial, PulledTrial } from './pulled-trial.ts';

/** A transducer by its id, as its owner named it. */
export type TransducerNames = (transducerId: string) => string;

/**
 * Trials of one step with one key may be compared: same transducer, rig, rate, filter, measuring window and measures, for a
 * breakaway also the same preload; and simulated only with simulated.
 */
export function benchKey({ isSimulated, step, preloadNm, bench }: PulledTrial): string {
  const keys = keysOfBench(bench);
  const key = isSimulated ? keys.simulated : keys.real;
  return step.kind === 'breakaway' ? `${preloadNm ?? ''}|${key}` : key;
}

/** Scores of one reading share their benches, so that thousands of trials come down to a few texts. */
const keysOfBenches = new WeakMap<BenchOfTrial, { readonly real: string; readonly simulated: string }>();

function keysOfBench(bench: BenchOfTrial): { readonly real: string; readonly simulated: string } {
  const known = keysOfBenches.get(bench);
  if (known !== undefined) return known;
  const key = [
    bench.transducerId,
    bench.nominalRateHz,
    bench.antiAliasBandwidthHz ?? '',
    Math.round(bench.windowS * 1e6),
    measuresInWords(bench),
    // Last, since anything may stand in it.
    bench.rigRevision,
  ].join('|');
  const keys = { real: `real|${key}`, simulated: `simulated|${key}` };
  keysOfBenches.set(bench, keys);
  return keys;
}

/** "Transducer 1, rig 2, 1000 Sa/s, filter 200 Hz, measured over 101 ms, measures of definition 2". */
export function describeBench(score: PulledTrial, transducerName: string): string {
  const { bench, preloadNm, step, isSimulated } = score;
  return [
    isSimulated ? `${transducerName} (simulated)` : transducerName,
    bench.rigRevision === '' ? null : rig(bench.rigRevision),
    rate(bench.nominalRateHz),
    bench.antiAliasBandwidthHz === null ? null : filter(bench.antiAliasBandwidthHz),
    `measured over ${inMs(bench.windowS)}`,
    measuresInWords(bench),
    step.kind === 'breakaway' ? preload(preloadNm) : null,
  ]
    .filter((part) => part !== null)
    .join(', ');
}

/** What is not alike between two trials of one step, both sides named: "80 Sa/s against 1000 Sa/s". Empty: all is alike. */
export function whyNotAlike(a: PulledTrial, b: PulledTrial, nameOf: TransducerNames | null): string[] {
  if (isSimulatedAgainstReal(a, b)) {
    // All the rest differs by necessity.
    return [a.isSimulated ? 'simulated pulls against real ones' : 'real pulls against simulated ones'];
  }
  const differing = (wordsOf: (score: PulledTrial) => string): string | null => {
    const [left, right] = [wordsOf(a), wordsOf(b)];
    return left === right ? null : `${left} against ${right}`;
  };
  return [
    a.bench.transducerId === b.bench.transducerId
      ? null
      : nameOf === null
        ? 'another transducer'
        : `${nameOf(a.bench.transducerId)} against ${nameOf(b.bench.transducerId)}`,
    differing(({ bench }) => rig(bench.rigRevision)),
    differing(({ bench }) => rate(bench.nominalRateHz)),
    differing(({ bench }) => filter(bench.antiAliasBandwidthHz)),
    differing(({ bench }) => `measured over ${inMs(bench.windowS)}`),
    differing(({ bench }) => measuresInWords(bench)),
    a.step.kind === 'breakaway' ? differing(({ preloadNm }) => preload(preloadNm)) : null,
  ].filter((part) => part !== null);
}

/** Never compared, whatever is asked for. */
export function isSimulatedAgainstReal(a: PulledTrial, b: PulledTrial): boolean {
  return a.isSimulated !== b.isSimulated;
}

export interface ChosenBench<Trial extends PulledTrial = PulledTrial> {
  /** Null: there are no trials. */
  readonly key: string | null;
  /** The newest trial on it, for describing it. */
  readonly example: Trial | null;
  /** Why the others take no part, by trial. */
  readonly leftOut: ReadonlyMap<string, string>;
}

/**
 * Of counting trials of one step those that may stand beside each other: of the bench that most contenders have; where two
 * have as many, a real one before a simulated one, then the one with the newest trial.
 */
export function chooseBench<Trial extends PulledTrial>(
  scores: readonly Trial[],
  nameOf: TransducerNames | null = null,
): ChosenBench<Trial> {
  const benches = [...Map.groupBy(scores, benchKey)].map(([key, trials]) => ({
    key,
    newest: newestOf(trials),
    contenderCount: new Set(trials.map((trial) => trial.key)).size,
  }));
  const [chosen] = benches.toSorted(
    (one, other) =>
      other.contenderCount - one.contenderCount ||
      Number(one.newest?.isSimulated) - Number(other.newest?.isSimulated) ||
      compareText(other.newest?.startedAt ?? '', one.newest?.startedAt ?? ''),
  );
  const example = chosen?.newest ?? null;
  const leftOut = new Map<string, string>();
  if (example !== null && benches.length > 1) {
    const reasonOf = new Map(
      benches.map(({ key, newest }) => [key, newest === null ? '' : notLikeForLike(newest, example, nameOf)]),
    );
    for (const score of scores) {
      const key = benchKey(score);
      if (key !== chosen?.key) leftOut.set(score.trialId, reasonOf.get(key) ?? '');
    }
  }
  return { key: chosen?.key ?? null, example, leftOut };
}

/** As the reason of a trial that takes no part. */
export function notLikeForLike(
  score: PulledTrial,
  taken: PulledTrial,
  nameOf: TransducerNames | null,
): string {
  return `not like for like: ${whyNotAlike(score, taken, nameOf).join(', ')}`;
}

export function newestOf<Trial extends PulledTrial>(scores: readonly Trial[]): Trial | null {
  return scores.reduce<Trial | null>(
    (newest, score) => (newest === null || score.startedAt >= newest.startedAt ? score : newest),
    null,
  );
}

/** Instants of one form, in universal time: their text sorts as they do. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Alike for definitions with the same measures: how the quality is judged is not compared. */
export function measuresInWords({ definitionVersion, isByDefinition }: BenchOfTrial): string {
  return isByDefinition === true
    ? `definition ${definitionVersion}`
    : `measures of definition ${measuresVersionOf(definitionVersion)}`;
}

function rig(revision: string): string {
  return revision === '' ? 'a rig without a revision' : `rig “${revision}”`;
}

function rate(nominalRateHz: number): string {
  return formatRate(nominalRateHz, Number.isInteger(nominalRateHz) ? 0 : 1);
}

function filter(bandwidthHz: number | null): string {
  return bandwidthHz === null ? 'no filter known' : `a filter of ${bandwidthHz} Hz`;
}

function preload(preloadNm: number | null): string {
  return preloadNm === null
    ? 'a preload that is not known'
    : `a preload of ${formatTorqueInBothUnits(preloadNm, 0)}`;
}

function inMs(windowS: number): string {
  const ms = Math.round(windowS * 1e6) / 1000;
  return formatQuantity(windowS, 'ms', Number.isInteger(ms) ? 0 : 1);
}
