import {
  benchKey,
  type ChosenBench,
  chooseBench,
  measuresInWords,
  newestOf,
} from '../comparison/like-for-like.ts';
import type { TransducerNames } from '../comparison/like-for-like.ts';
import type { PulledTrial } from '../comparison/pulled-trial.ts';

/** Whose trials of a step stand side by side in a table. */
export interface ChosenBenches<Trial extends PulledTrial> {
  /** A trial of each bench, for describing it; that of the bench with most contenders first. */
  readonly examples: readonly Trial[];
  /** `benchKey` of that one; null: there are no trials. */
  readonly mainKey: string | null;
  /** Why the others take no part, by trial. */
  readonly leftOut: ReadonlyMap<string, string>;
}

const UNSTATED =
  'its calibration states no uncertainty, and several benches stand side by side only with that of each';
const UNSTATED_MAIN =
  'another bench, and the calibrations of the one that most tools were pulled on state no uncertainty to set beside it';

/** Of counting trials of one step those of one bench: see `chooseBench`. */
export function chooseOneBench<Trial extends PulledTrial>(
  scores: readonly Trial[],
  nameOf: TransducerNames,
): ChosenBenches<Trial> {
  return asBenches(chooseBench(scores, nameOf));
}

/**
 * Likewise of all benches whose records are of one form: rate, filter, measuring window and measures, for a breakaway also the
 * preload. Transducers and rigs may differ then, so each calibration has to state its uncertainty; a trial whose calibration states
 * none takes no part, and where that is all of the bench with most contenders, that one stands alone.
 */
export function chooseSeveralBenches<Trial extends PulledTrial>(
  scores: readonly Trial[],
  nameOf: TransducerNames,
  hasStatedUncertainty: (calibrationId: string) => boolean,
): ChosenBenches<Trial> {
  const main = chooseBench(scores, nameOf);
  if (main.example === null) return asBenches(main);
  const form = formKey(main.example);
  const alike = scores.filter((score) => formKey(score) === form);
  const isOfMain = (score: Trial): boolean => benchKey(score) === main.key;
  if (alike.every(isOfMain)) return asBenches(main);

  const leftOut = new Map(main.leftOut);
  const isStated = (score: Trial): boolean => hasStatedUncertainty(score.calibrationId);
  if (!alike.some((score) => isOfMain(score) && isStated(score))) {
    for (const score of alike) if (!isOfMain(score)) leftOut.set(score.trialId, UNSTATED_MAIN);
    return { examples: [main.example], mainKey: main.key, leftOut };
  }
  for (const score of alike) {
    if (isStated(score)) leftOut.delete(score.trialId);
    else leftOut.set(score.trialId, UNSTATED);
  }
  const benches = Map.groupBy(alike.filter(isStated), benchKey);
  const examples = [...benches]
    .toSorted(([one], [other]) => Number(other === main.key) - Number(one === main.key))
    .flatMap(([, trials]) => newestOf(trials) ?? []);
  return { examples, mainKey: main.key, leftOut };
}

function asBenches<Trial extends PulledTrial>({
  key,
  example,
  leftOut,
}: ChosenBench<Trial>): ChosenBenches<Trial> {
  return { examples: example === null ? [] : [example], mainKey: key, leftOut };
}

/** All of `benchKey` but whose transducer it is and what it stands on. */
function formKey({ isSimulated, step, preloadNm, bench }: PulledTrial): string {
  return [
    isSimulated,
    step.kind === 'breakaway' ? (preloadNm ?? '') : '',
    bench.nominalRateHz,
    bench.antiAliasBandwidthHz ?? '',
    Math.round(bench.windowS * 1e6),
    measuresInWords(bench),
  ].join('|');
}
