import { UNDECIDED, VOIDED } from '../comparison/pulled-trial.ts';
import { withCurrentReferences } from '../standings/current-references.ts';
import { gatherScoredTrials, stepKey } from '../standings/gather-scored-trials.ts';
import { gatherSubjects, notOfTheList } from '../standings/gather-subjects.ts';
import { measuresOfSchemes, parseTrialMeasureKey } from '../standings/measure-keys.ts';
import { readyMadeSchemes } from '../standings/ready-made-schemes.ts';
import { scaleOfCalibration } from '../standings/scale-of-calibration.ts';
import {
  GATHERING,
  type ScoredTrial,
  type StandingsInput,
  type StandingsSubject,
} from '../standings/standings-model.ts';
import { distinctSteps, propertiesAskedFor } from '../standings/what-schemes-ask.ts';
import { asCalledThen, renamedWords } from './called-then.ts';
import { agreesWith, compareValues } from './compare-values.ts';
import { daysAt } from '../instants.ts';
import type { PackageState } from './package-state.ts';
import {
  type PackageView,
  type PackedPull,
  pullsSuspectAsRead,
  readerOfPackage,
  suspectAsReadWords,
} from './pulls-of-package.ts';
import type { Tally } from './tally.ts';
import { NAMES_PUT_AWAY_SINCE, UNLISTED_THEN_WORDS, wasUnlistedThen } from './unlisted-then.ts';
import {
  apartByDefinition,
  areOfBefore,
  MEASURES_ALIKE_SINCE,
  namedAsBefore,
  namedAsBeforeWords,
} from './views-of-before.ts';

const KIND = 'what standings rest on';

export interface PublishedInput {
  readonly where: string;
  readonly input: StandingsInput;
  /** The instant at whose day prices were in force. */
  readonly on: string;
}

/**
 * What standings say they rest on, against the package: which trials, whose they are, whether they count, their values; prices,
 * claims and ratings; the calibrations. Schemes of one's own, the choice of the table and exchange rates are in no package and
 * stand as published.
 */
export function recomputeInput(
  state: PackageState,
  asToday: PackageView,
  published: PublishedInput,
  tally: Tally,
): void {
  const { input, where } = published;
  const view = byRulesOf(published, asToday, tally);
  const asked = input.measures.map(parseTrialMeasureKey);
  const steps = new Set(distinctSteps(asked).map(stepKey));
  const pulls = view.pulls.filter(
    ({ step, isSimulated }) => steps.has(stepKey(step)) && isSimulated === input.table.isSimulated,
  );
  holdSchemes(input, view, where, tally);
  holdSubjects(view, pulls, published, tally);

  const scaleOf = (id: string): StandingsInput['calibrations'][number] => {
    const { version, result } = state.calibrations.get(id);
    return scaleOfCalibration(version, result);
  };
  const keys = new Set(input.subjects.map(({ contender }) => contender.key));
  const reader = readerOfPackage(false);
  const gatherOf = (
    from: readonly PackedPull[],
    called: 'now' | 'then' = 'now',
    gathering = input.gathering,
  ) =>
    gatherScoredTrials(
      from.filter(({ key }) => keys.has(key)),
      {
        valueOf: (pull, measure) => reader.storedValue(pull, measure),
        hasLevel: (pull, levelNm) => reader.hasLevel(pull, levelNm),
        // Numbered anew in each package; nobody can tell what it was.
        evaluationIdOf: () => 0,
      },
      {
        asked,
        gate: input.table.gate,
        transducers: transducersOf(state, pulls, called),
        benches: input.table.benches,
        gathering,
        uncertaintyOf: (id) => scaleOf(id).uncertainty,
      },
    );
  const asGathered = gatherOf(pulls);
  const earlier = input.gathering === undefined ? pullsSuspectAsRead(pulls) : null;
  const asRead = earlier && gatherOf(earlier);
  const movedCount = asRead === null ? 0 : countMoved(input.trials, asRead.trials, asGathered.trials);
  const [gathered, taken] =
    asRead === null || earlier === null || movedCount === 0 ? [asGathered, pulls] : [asRead, earlier];
  if (movedCount > 0) tally.note(where, suspectAsReadWords(movedCount));
  if (input.gathering === undefined) {
    noteEarlierRules(where, gathered.trials, gatherOf(taken, 'now', GATHERING).trials, tally);
  }
  holdTrials(view, input, gathered.trials, where, tally);
  compareValues(tally, KIND, { where, path: ['dayToDay'] }, input.dayToDay, gathered.dayToDay);
  const benches = input.benches ?? [];
  const named = agreesWith(benches, gathered.benches) ? gathered.benches : gatherOf(taken, 'then').benches;
  compareValues(tally, KIND, { where, path: ['benches'] }, benches, named);

  const calibrationIds = [...new Set(gathered.trials.map(({ calibrationId }) => calibrationId))].sort();
  compareValues(
    tally,
    KIND,
    { where, path: ['calibrations'] },
    input.calibrations,
    calibrationIds.map(scaleOf),
  );
}

/**
 * The package by the rules that an input was gathered by. Names went by those of today before that had a number, so they go by those
 * of before only where the input has each trial that this moves under its key of then.
 */
function byRulesOf({ input, where }: PublishedInput, asToday: PackageView, tally: Tally): PackageView {
  const { gathering, trials } = input;
  const view = areOfBefore(gathering, MEASURES_ALIKE_SINCE.gathering) ? apartByDefinition(asToday) : asToday;
  const named = areOfBefore(gathering, NAMES_PUT_AWAY_SINCE) ? namedAsBefore(view) : null;
  if (named === null) return view;
  const now = keysOf(view);
  const then = keysOf(named);
  const moved = trials.filter(({ trialId }) => now.get(trialId) !== then.get(trialId));
  const isAsThen = moved.every(({ trialId, key }) => then.get(trialId) === key);
  if (moved.length === 0 || !isAsThen) return view;
  tally.note(where, namedAsBeforeWords(moved.length));
  return named;
}

function keysOf({ pulls }: PackageView): ReadonlyMap<string, string> {
  return new Map(pulls.map(({ trialId, key }) => [trialId, key]));
}

/** Of trials that count one way and not the other: all of them where the input has each as `then`, else none. */
function countMoved(
  said: readonly ScoredTrial[],
  then: readonly ScoredTrial[],
  now: readonly ScoredTrial[],
): number {
  const saidOf = new Map(said.map(({ trialId, leftOutBecause }) => [trialId, leftOutBecause]));
  const moved = then.filter(({ leftOutBecause }, index) => leftOutBecause !== now[index]?.leftOutBecause);
  const isAsThen = moved.every(({ trialId, leftOutBecause }) => saidOf.get(trialId) === leftOutBecause);
  return isAsThen ? moved.length : 0;
}

/** What an earlier version of the program let count agrees by its own rules; whoever reads it is told. */
function noteEarlierRules(
  where: string,
  then: readonly ScoredTrial[],
  now: readonly ScoredTrial[],
  tally: Tally,
): void {
  const count = now.filter(
    ({ leftOutBecause }, index) => leftOutBecause !== null && then[index]?.leftOutBecause === null,
  ).length;
  if (count === 0) return;
  tally.note(
    where,
    `They were computed by an earlier version of the program, in which ${count} reference ${count === 1 ? 'pull counts' : 'pulls count'} beside pulls of the same tool as a setup; today only these count.`,
  );
}

/** Each as it is called now, or as it was called in the newest trial that is looked at. */
function transducersOf(
  { tables }: PackageState,
  pulls: readonly PackedPull[],
  called: 'now' | 'then',
): { readonly id: string; readonly name: string }[] {
  if (called === 'now') {
    return tables.rows('transducer').map((row) => ({ id: row.text('id'), name: row.text('name') }));
  }
  const transducers = pulls.map(({ recomputed }) => recomputed.trial.conditions.transducer);
  return [...new Map(transducers.map(({ id, name }) => [id, { id, name }])).values()];
}

function holdSchemes(
  { schemes, measures, gathering }: StandingsInput,
  { tools }: PackageView,
  where: string,
  tally: Tally,
): void {
  compareValues(tally, KIND, { where, path: ['measures'] }, measures, measuresOfSchemes(schemes));
  if (gathering !== undefined) {
    compareValues(
      tally,
      KIND,
      { where, path: ['schemes'] },
      schemes,
      withCurrentReferences(schemes, tools.contenders),
    );
  }
  for (const scheme of schemes) {
    const own = readyMadeSchemes.find(({ schemeId }) => schemeId === scheme.schemeId);
    if (own !== undefined && own.version === scheme.version) {
      compareValues(tally, KIND, { where: `${where}, scheme “${scheme.name}”` }, scheme, own);
    }
  }
}

function holdSubjects(
  view: PackageView,
  pulls: readonly PackedPull[],
  { where, input, on }: PublishedInput,
  tally: Tally,
): void {
  const { table, rates, schemes } = input;
  const isOfBefore = hasRatingsOfBefore(input);
  const ways = daysAt(on).map((day) => {
    const gathered = gatherSubjects({
      table,
      catalogue: view.tools.catalogue,
      contenders: view.tools.contenders,
      scores: pulls,
      toolNameOf: view.toolNameOf,
      testedToolIds: () => testedToolIds(view, table.isSimulated),
      properties: propertiesAskedFor(schemes),
      rates,
      on: day,
    });
    const subjects = isOfBefore ? gathered.map(withRatingsOfBefore) : gathered;
    return view.asOf === null
      ? { subjects, renamed: [] }
      : asCalledThen(input.subjects, subjects, view.tools.namesOf);
  });
  if (isOfBefore && ways[0]?.subjects.some(hasDrawnRating) === true) {
    tally.note(
      where,
      'The scatter of its handling ratings was drawn as if it were known exactly, as the program did before, however few the raters; ranges may be too narrow.',
    );
  }
  const found = ways.find(({ subjects }) => agreesWith(input.subjects, subjects)) ?? ways[0];
  const { subjects = [], renamed = [] } = found ?? {};
  if (renamed.length > 0) tally.note(where, renamedWords(renamed));
  const computed = new Map(subjects.map((subject) => [subject.contender.key, subject]));
  const twice = new Set<string>();
  for (const subject of input.subjects) {
    const { key, label } = subject.contender;
    const at = `${where}, ${label}`;
    if (twice.has(key)) tally.differ(KIND, at, 'It is there twice.');
    twice.add(key);
    const own = computed.get(key);
    computed.delete(key);
    holdSubject(view, input.gathering, { said: subject, computed: own, where: at }, tally);
  }
  for (const { contender } of computed.values()) {
    const at = `${where}, ${contender.label}`;
    const isOthers = pulls.every(({ key, trialId }) => key !== contender.key || view.isForeign(trialId));
    if (view.asOf !== null && isOthers) {
      tally.note(
        at,
        'The tool is in the package and not in the edition; it may have been entered or taken in later.',
      );
    } else
      tally.differ(KIND, at, 'It belongs into the table by the package, and the standings do not have it.');
  }
}

/** Ratings did not say before how many degrees of freedom their standard error has. */
function hasRatingsOfBefore({ subjects, gathering }: StandingsInput): boolean {
  return (
    gathering === undefined &&
    subjects.every(({ properties }) =>
      properties.every(({ degreesOfFreedom }) => degreesOfFreedom === undefined),
    )
  );
}

function withRatingsOfBefore(subject: StandingsSubject): StandingsSubject {
  return {
    ...subject,
    properties: subject.properties.map(({ property, value, missing, source, standardError }) => ({
      property,
      value,
      missing,
      source,
      standardError,
    })),
  };
}

function hasDrawnRating({ properties }: StandingsSubject): boolean {
  return properties.some(({ standardError }) => standardError !== null);
}

function holdSubject(
  view: PackageView,
  gathering: StandingsInput['gathering'],
  {
    said,
    computed,
    where,
  }: {
    readonly said: StandingsSubject;
    readonly computed: StandingsSubject | undefined;
    readonly where: string;
  },
  tally: Tally,
): void {
  const { toolId } = said.contender;
  if (toolId !== null && !view.tools.has(toolId)) {
    tally.note(
      where,
      'The tool itself is not in this package: what is entered of it (prices, claims, ratings, class) was taken as published.',
    );
    return;
  }
  const isListedNow = computed === undefined || computed.contender.toolId !== null;
  const isByNamesOfBefore = areOfBefore(gathering, NAMES_PUT_AWAY_SINCE);
  if (isListedNow && isByNamesOfBefore && wasUnlistedThen(view.tools.catalogue, said.contender)) {
    tally.note(where, UNLISTED_THEN_WORDS);
    const { isSimulated = said.contender.isSimulated } = computed?.contender ?? {};
    compareValues(tally, KIND, { where }, said, notOfTheList({ ...said.contender, isSimulated }));
    return;
  }
  if (computed === undefined) {
    tally.differ(KIND, where, 'The standings have it, and by the package it does not belong into the table.');
    return;
  }
  // Trials of other steps need not be in the package, and "never tested" is about these too.
  const isNeverTested = computed.notRankedBecause?.startsWith('Never tested') ?? false;
  const notRankedBecause = isNeverTested && said.notRankedBecause === null ? null : computed.notRankedBecause;
  compareValues(tally, KIND, { where }, said, { ...computed, notRankedBecause });
}

/** Tools with measured trials of any step. */
function testedToolIds({ pulls, tools, toolNameOf }: PackageView, isSimulated: boolean): ReadonlySet<string> {
  return new Set(
    pulls
      .filter((pull) => pull.isSimulated === isSimulated)
      .flatMap(
        ({ key, trialId }) =>
          tools.contenders.contenderOf(key, toolNameOf(trialId), isSimulated).toolId ?? [],
      ),
  );
}

function holdTrials(
  view: PackageView,
  { trials }: StandingsInput,
  gathered: readonly ScoredTrial[],
  where: string,
  tally: Tally,
): void {
  const computed = new Map(gathered.map((trial) => [trial.trialId, trial]));
  const inPackage = new Set(view.pulls.map(({ trialId }) => trialId));
  const seen = new Set<string>();
  let undecided = 0;
  for (const trial of trials) {
    const at = `${where}, trial ${trial.trialId}`;
    if (seen.has(trial.trialId)) {
      tally.differ(KIND, at, 'The standings have it twice.');
      continue;
    }
    seen.add(trial.trialId);
    const own = computed.get(trial.trialId);
    const hasValue = trial.values.some(({ value }) => value !== null);
    if (own !== undefined) {
      compareValues(tally, KIND, { where: at }, trial, { ...own, evaluationId: trial.evaluationId });
    } else if (!hasValue && !inPackage.has(trial.trialId) && wasNeverKept(trial)) {
      undecided += 1;
    } else {
      tally.differ(
        KIND,
        at,
        inPackage.has(trial.trialId)
          ? 'The standings have it, and by the package it does not belong there.'
          : 'The standings have it, and it is not in the package.',
      );
    }
  }
  if (undecided > 0) {
    tally.note(where, neverKeptWords(undecided));
  }
  for (const id of computed.keys()) {
    if (seen.has(id)) continue;
    const at = `${where}, trial ${id}`;
    if (view.asOf !== null && view.isForeign(id)) {
      tally.note(at, 'It is of another bench, and may have been taken in after the edition was frozen.');
    } else tally.differ(KIND, at, 'It belongs there by the package, and the standings do not have it.');
  }
}

/** Nobody decided on it, or it was voided before: no package has it, since its figures have not been seen. */
export function wasNeverKept({ leftOutBecause }: Pick<ScoredTrial, 'leftOutBecause'>): boolean {
  return leftOutBecause === UNDECIDED || leftOutBecause === VOIDED;
}

export function neverKeptWords(count: number): string {
  return `${count} ${count === 1 ? 'trial was' : 'trials were'} never kept; they take no part, and such trials are in no package.`;
}
