import { z } from 'zod';
import { chooseTrials, type ChosenTrials } from '../comparison/choose-trials.ts';
import { cautionsOfBefore } from '../comparison/cautions.ts';
import { COMPARING, compareChosen, measuresToRead, trialsToMeasure } from '../comparison/compare-chosen.ts';
import { type Comparison, comparisonSchema, type Contender } from '../comparison/comparison-model.ts';
import type { KnownDayToDay } from '../comparison/day-to-day.ts';
import { dayToDayOfPair } from '../comparison/day-to-day-of-bench.ts';
import { newestOf } from '../comparison/like-for-like.ts';
import { ASK_AGAIN_CAUTION, measureAlike } from '../comparison/measure-alike.ts';
import { measureKey } from '../comparison/measure-key.ts';
import { referenceDriftsOf } from '../comparison/reference-drifts.ts';
import type { TrialMeasure } from '../comparison/trial-measure.ts';
import { comparisonAskedSchema } from '../publishing/publishing-model.ts';
import { scaleOfCalibration } from '../standings/scale-of-calibration.ts';
import { agreesWith, compareValues } from './compare-values.ts';
import { millisecondsOf } from '../instants.ts';
import type { PackageState } from './package-state.ts';
import {
  isExcluded,
  type PackageView,
  type PackedPull,
  pullsSuspectAsRead,
  readerOfPackage,
  suspectAsReadWords,
  viewOf,
} from './pulls-of-package.ts';
import { neverKeptWords, wasNeverKept } from './recompute-input.ts';
import type { Tally } from './tally.ts';
import { wasUnlistedThen } from './unlisted-then.ts';
import {
  apartByDefinition,
  areOfBefore,
  COMPARED_BY_DAYS_SINCE,
  MEASURES_ALIKE_SINCE,
  namedAsBefore,
  namedAsBeforeWords,
} from './views-of-before.ts';

export const publishedComparisonSchema = z.strictObject({
  asked: comparisonAskedSchema,
  comparison: comparisonSchema,
  /** By which rules (compare-chosen.ts); left out: those of before they had a number. */
  comparing: z.int().min(2).max(COMPARING).optional(),
});
type PublishedComparison = z.infer<typeof publishedComparisonSchema>;

/** From day to day, of one measure. */
type DayToDayOf = (measure: TrialMeasure) => KnownDayToDay | null;

/** The trials of the step as one of the rules sees them that it may have been computed by. */
interface Way {
  readonly view: PackageView;
  readonly pulls: readonly PackedPull[];
  /** What is to be told where it was computed so. */
  readonly wordsOn: (comparison: Comparison) => string[];
}

/** One way in which it may have been computed, with what is to be told of it. */
interface Computed {
  readonly chosen: ChosenTrials<PackedPull>;
  readonly comparison: Comparison;
  readonly notes: readonly { readonly where: string; readonly what: string }[];
}

/**
 * A comparison from the counts of its trials: which trials are taken, their values at the common onset level, then everything that
 * is said of them. The margin is taken as published: packages do not say when it was fixed. One that has no number of rules may
 * also have been computed as it was before.
 */
export async function recomputeComparison(
  state: PackageState,
  where: string,
  published: PublishedComparison,
  tally: Tally,
): Promise<void> {
  const asToday = viewOf(state, null);
  const said = withoutUndecided(published.comparison, asToday, where, tally);
  const compareAgain = ({ view, pulls }: Way): Promise<Computed | { readonly reasons: string[] }> =>
    computeOf(state, view, pulls, { ...published, said });
  const isAsSaid = (computed: Awaited<ReturnType<typeof compareAgain>>): computed is Computed =>
    !('reasons' in computed) && agreesWith(said, computed.comparison);

  const [first, ...others] = waysOf(asToday, published);
  let [way, taken] = [first, await compareAgain(first)];
  for (const other of others) {
    if (isAsSaid(taken)) break;
    const computed = await compareAgain(other);
    if (isAsSaid(computed)) [way, taken] = [other, computed];
  }
  if ('reasons' in taken) {
    tally.differ('comparisons', where, `By the package they are not compared: ${taken.reasons.join(' ')}`);
    return;
  }
  for (const words of way.wordsOn(taken.comparison)) tally.note(where, words);
  holdReferenceDrift(way.view, taken.chosen, said, where, tally);
  for (const note of taken.notes) tally.note(`${where}, ${note.where}`, note.what);
  compareValues(tally, 'comparisons', { where }, said, taken.comparison);
}

/** By the rules of its number; what has none may have been computed by either of two rules in more than one respect. */
function waysOf(asToday: PackageView, { asked, comparing }: PublishedComparison): [Way, ...Way[]] {
  const { kind, direction, plannedS } = asked.step;
  const ofStep = ({ pulls }: PackageView): PackedPull[] =>
    pulls.filter(
      ({ step }) => step.kind === kind && step.direction === direction && step.plannedS === plannedS,
    );
  const view = areOfBefore(comparing, MEASURES_ALIKE_SINCE.comparing) ? apartByDefinition(asToday) : asToday;
  const now: Way = { view, pulls: ofStep(view), wordsOn: () => [] };
  if (comparing !== undefined) return [now];
  const named = namedAsBefore(view);
  if (named === null) return [now, ...suspectAsRead(now)];
  const pulls = ofStep(named);
  const then: Way = {
    view: named,
    pulls,
    wordsOn: (comparison) => {
      const count = countOtherwise(comparison, now.pulls, pulls, ({ key }) => key);
      return [namedAsBeforeWords(count)];
    },
  };
  return [now, ...suspectAsRead(now), then, ...suspectAsRead(then)];
}

/** Likewise with a failed check held against what a trial is read by; none where that is the same. */
function suspectAsRead(way: Way): Way[] {
  const pulls = pullsSuspectAsRead(way.pulls);
  if (pulls === null) return [];
  const wordsOn = (comparison: Comparison): string[] => [
    ...way.wordsOn(comparison),
    suspectAsReadWords(countOtherwise(comparison, way.pulls, pulls, isExcluded)),
  ];
  return [{ ...way, pulls, wordsOn }];
}

/** Trials of a comparison that have something else by one rule than by the other. */
function countOtherwise(
  { trials }: Comparison,
  now: readonly PackedPull[],
  then: readonly PackedPull[],
  has: (pull: PackedPull) => unknown,
): number {
  const ids = new Set(trials.map(({ trialId }) => trialId));
  return now.filter((pull, index) => {
    const other = then[index];
    return ids.has(pull.trialId) && other !== undefined && has(pull) !== has(other);
  }).length;
}

async function computeOf(
  state: PackageState,
  view: PackageView,
  pulls: readonly PackedPull[],
  {
    asked,
    comparison,
    comparing,
    said,
  }: PublishedComparison & { /** Without what was never kept. */ readonly said: Comparison },
): Promise<Computed | { readonly reasons: string[] }> {
  const { step, measure } = asked;
  const { gate } = said;
  const isByDays = !areOfBefore(comparing, COMPARED_BY_DAYS_SINCE);
  const choice = chooseTrials(
    pulls,
    {
      step,
      a: { key: asked.a, label: said.a.contender.label },
      b: { key: asked.b, label: said.b.contender.label },
      sessionIds: asked.sessionIds,
      isForced: asked.isForced,
      areSheetsWhole: isByDays,
    },
    gate,
    view.transducerName,
  );
  if ('reasons' in choice) return choice;
  const { chosen } = choice;
  const reader = readerOfPackage(!wasAskedBesideATrial(said));
  const alike = await measureAlike(reader, trialsToMeasure(chosen), measuresToRead(step, measure));
  const contenderOf = contendersOf(view, pulls, said, comparing);
  const dayRule = isByDays ? 'apart' : 'session';
  const dayToDayOf: DayToDayOf = (one) =>
    dayToDayOfPair(pulls, chosen, gate, (pull) => reader.storedValue(pull, one), dayRule);
  const compared = (daysOf: DayToDayOf): Comparison =>
    withPlainNumbers(
      compareChosen({
        step,
        measure,
        gate,
        a: sideOf(contenderOf(asked.a), chosen.a, said.a.contender.label),
        b: sideOf(contenderOf(asked.b), chosen.b, said.b.contender.label),
        contenderOf,
        chosen,
        alike,
        storedValue: (pull) => reader.storedValue(pull, measure),
        marginPercent: said.marginPercent,
        planned: plannedRounds(state),
        dayToDayOf: daysOf,
        scaleOf: (id) => scaleOfStored(state, id),
        comparing: comparing ?? 1,
        // By itself: it rests on other trials.
        referenceDrift: said.referenceDrift,
      }),
    );
  const byRules = (daysOf: DayToDayOf): ByRules =>
    comparing === undefined
      ? byRulesOfBefore(said, daysOf, compared)
      : { comparison: compared(daysOf), notes: [] };
  const computed = byRules(dayToDayOf);
  const days = publishedDayToDay(said);
  const withPublished = days === undefined ? computed : byRules(days);
  const isAsPublished =
    days !== undefined &&
    !agreesWith(said, computed.comparison) &&
    pulls.every(({ trialId }) => comparison.trials.some((trial) => trial.trialId === trialId)) &&
    agreesWith(said, withPublished.comparison);
  if (!isAsPublished) return { chosen, ...computed };
  return {
    chosen,
    comparison: withPublished.comparison,
    notes: [
      {
        where: 'day to day',
        what: 'How much a setup moves from day to day rests on trials of other sessions, which are not in this package: it was taken as published, and everything else computed with it.',
      },
      ...withPublished.notes,
    ],
  };
}

type ByRules = Pick<Computed, 'comparison' | 'notes'>;

function byRulesOfBefore(
  said: Comparison,
  dayToDayOf: DayToDayOf,
  compared: (daysOf: DayToDayOf) => Comparison,
): ByRules {
  const { comparison, notes } = withCheckpointsOfBefore(said, dayToDayOf, compared);
  const before = cautionsOfBefore(comparison);
  if (agreesWith(said.cautions, comparison.cautions) || !agreesWith(said.cautions, before)) {
    return { comparison, notes };
  }
  return {
    comparison: { ...comparison, cautions: before },
    notes: [
      ...notes,
      {
        where: 'cautions',
        what: 'Who has one run in a session was told by an earlier version of the program, which took runs without a value for some.',
      },
    ],
  };
}

/** Before checkpoints said what days do at each of them, all took that of the compared measure. */
function withCheckpointsOfBefore(
  said: Comparison,
  dayToDayOf: DayToDayOf,
  compared: (daysOf: DayToDayOf) => Comparison,
): ByRules {
  if (said.checkpoints.some(({ dayToDay }) => dayToDay !== undefined)) {
    return { comparison: compared(dayToDayOf), notes: [] };
  }
  const comparison = compared(() => dayToDayOf(said.measure));
  const isByOneForAll = comparison.checkpoints.some(({ dayToDay }) => dayToDay !== undefined);
  return {
    comparison: {
      ...comparison,
      checkpoints: comparison.checkpoints.map(({ atS, ratio, isClear }) => ({ atS, ratio, isClear })),
    },
    notes: isByOneForAll
      ? [
          {
            where: 'checkpoints',
            what: 'They take the day-to-day scatter of the compared measure for that of the torque at each instant, as the program did before; early in a pull days may move it by more, and a lead may start later than it says.',
          },
        ]
      : [],
  };
}

/** What was never kept is in no package, and takes no part in any comparison. */
function withoutUndecided(
  comparison: Comparison,
  { pulls }: PackageView,
  where: string,
  tally: Tally,
): Comparison {
  const known = new Set(pulls.map(({ trialId }) => trialId));
  const undecided = comparison.trials.filter(
    (trial) => wasNeverKept(trial) && trial.value === null && !known.has(trial.trialId),
  );
  if (undecided.length === 0) return comparison;
  tally.note(where, neverKeptWords(undecided.length));
  return { ...comparison, trials: comparison.trials.filter((trial) => !undecided.includes(trial)) };
}

function wasAskedBesideATrial({ cautions, trials }: Comparison): boolean {
  return (
    cautions.includes(ASK_AGAIN_CAUTION) ||
    trials.some(
      ({ leftOutBecause }) => leftOutBecause?.endsWith('once the trial under way has ended') ?? false,
    )
  );
}

/** Named by its newest trial of the step. A tool that is not in the package is not looked up, nor before one that was put away. */
function contendersOf(
  { tools }: PackageView,
  pulls: readonly PackedPull[],
  said: Comparison,
  comparing: PublishedComparison['comparing'],
): (key: string) => Contender {
  const published = [said.a.contender, said.b.contender, ...said.others];
  return (key) => {
    const own = pulls.filter((pull) => pull.key === key);
    const contender = tools.contenders.contenderOf(
      key,
      newestOf(own)?.toolName ?? '',
      own.every(({ isSimulated }) => isSimulated),
    );
    const known = published.find((one) => one.key === key);
    if (comparing === undefined && known !== undefined && wasUnlistedThen(tools.catalogue, known)) {
      return { ...contender, toolId: null };
    }
    const toolId = known?.toolId ?? null;
    return toolId === null || tools.has(toolId) ? contender : { ...contender, toolId };
  };
}

function scaleOfStored({ calibrations }: PackageState, id: string): number | null {
  const { version, result } = calibrations.get(id);
  return scaleOfCalibration(version, result).uncertainty;
}

/** Two that read alike are told apart by a letter. */
function sideOf(contender: Contender, pulls: readonly PackedPull[], label: string): Contender {
  const letter = [' (A)', ' (B)'].find((end) => label === contender.label + end) ?? '';
  return {
    ...contender,
    label: contender.label + letter,
    isSimulated: pulls[0]?.isSimulated ?? contender.isSimulated,
  };
}

const planSchema = z.looseObject({ rounds: z.number() });

function plannedRounds({ tables }: PackageState): ReadonlyMap<string, number> {
  return new Map(
    tables.rows('run_sheet').map((row) => [row.text('id'), row.json('plan_json', planSchema).rounds]),
  );
}

/** Undefined: days do not come in. */
function publishedDayToDay({ measure, dayToDay, checkpoints }: Comparison): DayToDayOf | undefined {
  if (dayToDay === null && checkpoints.every((one) => one.dayToDay === undefined)) return undefined;
  const { standardDeviation = null, degreesOfFreedom = null } = dayToDay ?? {};
  const ofMeasure =
    standardDeviation === null || degreesOfFreedom === null ? null : { standardDeviation, degreesOfFreedom };
  return (one) =>
    measureKey(one) === measureKey(measure)
      ? ofMeasure
      : (checkpoints.find(({ atS }) => one.figure === 'torqueAt' && one.atS === atS)?.dayToDay ?? null);
}

/** Of sessions whose reference pulls are all in the package. */
function holdReferenceDrift(
  { pulls }: PackageView,
  { sessionIds }: ChosenTrials,
  said: Comparison,
  where: string,
  tally: Tally,
): void {
  const references = pulls.filter(
    ({ role, sessionId }) => role === 'reference' && sessionIds.includes(sessionId),
  );
  const computed = referenceDriftsOf(references, sessionIds, said.gate, {
    sustainedTorqueNm: ({ figures: { sustainedTorqueNm } }) =>
      'value' in sustainedTorqueNm ? sustainedTorqueNm.value : null,
    millisecondsOf: (instant) => millisecondsOf(instant) ?? Number.NaN,
  });
  const unknown = said.referenceDrift.filter(
    ({ sessionId, drift }) =>
      references.filter((pull) => pull.sessionId === sessionId).length < drift.pointCount,
  );
  if (unknown.length > 0) {
    tally.note(
      `${where}, reference drift`,
      'Not all pulls of the reference tool are in this package, so its drift was not computed again.',
    );
  }
  const isKnown = ({ sessionId }: { readonly sessionId: string }): boolean =>
    unknown.every((one) => one.sessionId !== sessionId);
  compareValues(
    tally,
    'comparisons',
    { where, path: ['referenceDrift'] },
    said.referenceDrift.filter(isKnown),
    computed.filter(isKnown),
  );
}

/** As JSON has numbers: what is not finite is none. */
function withPlainNumbers(comparison: Comparison): Comparison {
  return comparisonSchema.parse(JSON.parse(JSON.stringify(comparison)));
}
