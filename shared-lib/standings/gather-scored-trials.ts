import { createDayToDay } from '../comparison/day-to-day.ts';
import { benchKey, describeBench } from '../comparison/like-for-like.ts';
import { describeComparedStep, isTime, releaseCautions } from '../comparison/measure-words.ts';
import { type PulledTrial, whyLeftOut } from '../comparison/pulled-trial.ts';
import { suspectCautions } from '../comparison/suspect-cautions.ts';
import type { ComparedStep, TrialMeasure } from '../comparison/trial-measure.ts';
import { formatTorqueInBothUnits } from '../format-quantity.ts';
import type { QualityGate } from '../run-sheet/session-model.ts';
import { type ChosenBenches, chooseOneBench, chooseSeveralBenches } from './choose-benches.ts';
import type { ScoredTrial, StandingsInput, StandingsTable } from './standings-model.ts';
import type { Transducer } from '../trial/trial-model.ts';

/** A step and what of its trials is asked for. */
export interface AskedMeasure {
  readonly step: ComparedStep;
  readonly measure: TrialMeasure;
}

/** What of a trial is kept elsewhere. */
export interface ScoreReader<Trial extends PulledTrial> {
  /** As it is stored; null: not reached, not carried, or a level that nobody asked for. */
  valueOf(trial: Trial, measure: TrialMeasure): number | null;
  /** Whether the time to a level was asked for when the trial was measured. */
  hasLevel(trial: Trial, levelNm: number): boolean;
  evaluationIdOf(trial: Trial): number;
}

interface StepOfTable<Trial extends PulledTrial> {
  readonly step: ComparedStep;
  /** With their places in the measures of the input. */
  readonly measures: { readonly place: number; readonly measure: TrialMeasure }[];
  /** Trials that count as far as they alone decide. */
  readonly counting: Trial[];
}

/**
 * The trials of a table with all that is asked of them, in the order in which they were pulled. Of each step those of one bench
 * count, the one that most contenders have, or of several where the table takes them; the others are there with the reason.
 */
export function gatherScoredTrials<Trial extends PulledTrial>(
  scores: readonly Trial[],
  reader: ScoreReader<Trial>,
  question: {
    readonly asked: readonly AskedMeasure[];
    readonly gate: QualityGate;
    readonly transducers: readonly Pick<Transducer, 'id' | 'name'>[];
    readonly benches?: StandingsTable['benches'];
    /** By which rules; an input that was frozen or published is held against those it was gathered by. */
    readonly gathering: StandingsInput['gathering'];
    /** Of the scale, relative; null: the calibration states none. */
    readonly uncertaintyOf: (calibrationId: string) => number | null;
  },
): Pick<StandingsInput, 'trials' | 'dayToDay'> & { readonly benches: string[] } {
  const { asked, gate, gathering } = question;
  const names = new Map(question.transducers.map(({ id, name }) => [id, name]));
  const nameOf = (transducerId: string): string => names.get(transducerId) ?? 'a transducer that is gone';
  const steps = stepsOf<Trial>(asked);

  // Plain loops: this runs over all trials there are, each time somebody looks.
  const reasons = scores.map((score) => whyLeftOut(score, gate));
  const stepOf = lookUpOnce((step: ComparedStep) => steps.get(stepKey(step)));
  scores.forEach((score, index) => {
    if (reasons[index] === null) stepOf(score.step)?.counting.push(score);
  });
  const chooseFor = ({ counting }: StepOfTable<Trial>): ChosenBenches<Trial> =>
    question.benches === 'several'
      ? chooseSeveralBenches(counting, nameOf, isStatedOnce(question.uncertaintyOf))
      : chooseOneBench(counting, nameOf);
  const benches = new Map([...steps.values()].map((step) => [step, chooseFor(step)]));
  const isNumbered = gathering !== undefined;
  const isByRules5 = gathering !== undefined && gathering >= 5;
  const asSetup = new Map(
    [...benches].map(([step, { leftOut }]) => [step, pulledAsSetup(step.counting, leftOut)]),
  );
  const onsetLevels = new Map([...steps.values()].map((step) => [step, new Set<number>()]));
  const taken = new Map([...steps.values()].map((step): [StepOfTable<Trial>, Trial[]] => [step, []]));
  const trials: ScoredTrial[] = [];
  const days = asked.map(() => createDayToDay(isByRules5 ? 'apart' : 'session'));
  scores.forEach((score, index) => {
    const step = stepOf(score.step);
    if (step === undefined) return;
    const chosen = benches.get(step);
    const { key: contenderKey, sessionId, startedAt } = score;
    const isReference = score.role === 'reference';
    const leftOutBecause = reasons[index] ?? chosen?.leftOut.get(score.trialId) ?? null;
    const isBesideSetup = isNumbered && isReference && asSetup.get(step)?.has(contenderKey) === true;
    const trial = scoredTrial(reader, score, step, {
      leftOutBecause: leftOutBecause ?? (isBesideSetup ? BESIDE_SETUP : null),
      isNumbered,
    });
    trials.push(trial);
    if (trial.leftOutBecause === null) taken.get(step)?.push(score);
    if (trial.leftOutBecause === null && hasValueFromOnset(trial, step)) {
      onsetLevels.get(step)?.add(score.onsetLevelNm);
    }
    // Beside its pulls as a setup they say what a day does, as in a comparison.
    if (leftOutBecause !== null) return;
    // From day to day on one bench: what lies between benches is no matter of days.
    if (chosen !== undefined && chosen.examples.length > 1 && benchKey(score) !== chosen.mainKey) return;
    for (const { measure, value } of trial.values) {
      days[measure]?.add({ contenderKey, sessionId, startedAt, isReference, value, leftOutBecause });
    }
  });

  return {
    trials,
    dayToDay: days.map((ofMeasure) => ofMeasure.estimate()),
    benches: [
      ...[...benches].flatMap(([{ step }, bench]) => benchSentences(step, bench, nameOf)),
      ...(isNumbered ? [...onsetLevels].flatMap(([{ step }, levels]) => onsetSentences(step, levels)) : []),
      ...(isByRules5
        ? [...taken].flatMap(([{ step, measures }, ofStep]) => [
            ...new Set(measures.flatMap(({ measure }) => releaseCautions(measure))),
            ...suspectCautions(ofStep, `For ${describeComparedStep(step)}: `),
          ])
        : []),
    ],
  };
}

const BESIDE_SETUP = 'a reference pull; its pulls as a setup count';

/** Whose reference pulls take no part beside their pulls as a setup; the same rule as `ownTrials`. */
function pulledAsSetup(
  counting: readonly PulledTrial[],
  leftOut: ReadonlyMap<string, string>,
): ReadonlySet<string> {
  const keys = new Set<string>();
  for (const { key, role, trialId } of counting) {
    if (role !== 'reference' && !leftOut.has(trialId)) keys.add(key);
  }
  return keys;
}

/** Each calibration is asked for once, however many trials it has. */
function isStatedOnce(
  uncertaintyOf: (calibrationId: string) => number | null,
): (calibrationId: string) => boolean {
  const stated = new Map<string, boolean>();
  return (calibrationId) => {
    const known = stated.get(calibrationId) ?? uncertaintyOf(calibrationId) !== null;
    stated.set(calibrationId, known);
    return known;
  };
}

/** By identity: the trials of a step share it. */
function lookUpOnce<Key extends object, Found>(find: (key: Key) => Found): (key: Key) => Found {
  const found = new Map<Key, { readonly is: Found }>();
  return (key) => {
    let known = found.get(key);
    if (known === undefined) {
      known = { is: find(key) };
      found.set(key, known);
    }
    return known.is;
  };
}

export function stepKey({ kind, direction, plannedS }: ComparedStep): string {
  return `${kind} ${direction} ${plannedS}`;
}

function stepsOf<Trial extends PulledTrial>(
  asked: readonly AskedMeasure[],
): ReadonlyMap<string, StepOfTable<Trial>> {
  const steps = new Map<string, StepOfTable<Trial>>();
  asked.forEach(({ step, measure }, place) => {
    const ofStep = steps.get(stepKey(step)) ?? { step, measures: [], counting: [] };
    ofStep.measures.push({ place, measure });
    steps.set(stepKey(step), ofStep);
  });
  return steps;
}

/** A value of a trial that was never kept is not shown: nobody is to keep or void it by that. */
function scoredTrial<Trial extends PulledTrial>(
  reader: ScoreReader<Trial>,
  score: Trial,
  { measures }: StepOfTable<Trial>,
  { leftOutBecause, isNumbered }: { readonly leftOutBecause: string | null; readonly isNumbered: boolean },
): ScoredTrial {
  const isKept = score.state === 'kept';
  return {
    trialId: score.trialId,
    key: score.key,
    sessionId: score.sessionId,
    startedAt: score.startedAt,
    evaluationId: reader.evaluationIdOf(score),
    calibrationId: score.calibrationId,
    direction: score.step.direction,
    values: measures.map(({ place, measure }) => {
      const value = isKept ? reader.valueOf(score, measure) : null;
      const isUnasked =
        isNumbered &&
        isKept &&
        value === null &&
        measure.figure === 'timeToLevel' &&
        !reader.hasLevel(score, measure.levelNm);
      return { measure: place, value, ...(isUnasked ? { wasAsked: false as const } : {}) };
    }),
    leftOutBecause,
  };
}

/** Whether anything that is asked of it counts its time from onset. */
function hasValueFromOnset<Trial extends PulledTrial>(
  { values }: ScoredTrial,
  { measures }: StepOfTable<Trial>,
): boolean {
  return measures.some(
    ({ measure }, index) => isFromOnset(measure) && (values[index]?.value ?? null) !== null,
  );
}

function isFromOnset(measure: TrialMeasure): boolean {
  return measure.figure === 'torqueAt' || isTime(measure);
}

function onsetSentences(step: ComparedStep, levels: ReadonlySet<number>): string[] {
  if (levels.size < 2) return [];
  const [lowest, highest] = [Math.min(...levels), Math.max(...levels)];
  return [
    `For ${describeComparedStep(step)} onset was found at different levels, ${formatTorqueInBothUnits(lowest, 1)} to ${formatTorqueInBothUnits(highest, 1)}, and times and torques after a time stand as they were measured. A comparison of two measures them anew at one level.`,
  ];
}

function benchSentences<Trial extends PulledTrial>(
  step: ComparedStep,
  { examples, leftOut }: ChosenBenches<Trial>,
  nameOf: (transducerId: string) => string,
): string[] {
  if (examples.length === 0) return [];
  const what = describeComparedStep(step);
  const described = examples.map((example) => describeBench(example, nameOf(example.bench.transducerId)));
  const holds =
    described.length === 1
      ? `For ${what} it holds for ${described.join('')}.`
      : `For ${what} ${described.length} benches stand side by side: ${described.join('; ')}. Each brings the uncertainty of its calibration into the ranges of places. These are static: how the rigs differ under blows is in none of them, and does not cancel.`;
  if (leftOut.size === 0) return [holds];
  const others =
    leftOut.size === 1 ? '1 trial of another bench is' : `${leftOut.size} trials of other benches are`;
  return [`${holds} ${others} left out.`];
}
