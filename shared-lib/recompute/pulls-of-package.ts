import { foldName } from '../catalogue/fold-name.ts';
import { figureOf, type MeasureReader } from '../comparison/measure-alike.ts';
import type { PulledTrial } from '../comparison/pulled-trial.ts';
import type { Suspicion } from '../trial/suspicion.ts';
import type { TrialFigures } from '../trial/trial-model.ts';
import { NotAPackage } from './not-a-package.ts';
import type { PackageState } from './package-state.ts';
import { type StoredTools, readTools } from './stored-tools.ts';
import { newestAsOf, standingAsOf } from './stored-trials.ts';
import type { RecomputedTrial } from './recompute-trials.ts';

/** A trial as comparisons and standings see it, with the figures that were computed from its counts. */
export interface PackedPull extends PulledTrial {
  readonly figures: TrialFigures;
  readonly toolName: string;
  /** As tested; null: pulled under the name alone. */
  readonly setupId: string | null;
  readonly recomputed: RecomputedTrial;
  /** As it was before: by the calibration that the trial is read by, and not by the one that it was made with. */
  readonly suspicionAsRead: Suspicion | null;
}

/** A package as it stood at an instant. */
export interface PackageView {
  readonly asOf: string | null;
  readonly tools: StoredTools;
  /** Measured ones, in the order in which they were pulled. */
  readonly pulls: readonly PackedPull[];
  readonly toolNameOf: (trialId: string) => string;
  readonly transducerName: (transducerId: string) => string;
  /** Whether a trial was made on another bench than the one that the package is of. */
  readonly isForeign: (trialId: string) => boolean;
}

/** `asOf`: null for now. Errors: NotAPackage. */
export function viewOf(state: PackageState, asOf: string | null): PackageView {
  const tools = readTools(state.tables, asOf);
  const pulls = state.recomputed
    .flatMap((recomputed) => toPull(state, tools, recomputed, asOf) ?? [])
    .toSorted((a, b) => compare(a.startedAt, b.startedAt) || compare(a.trialId, b.trialId));
  const nameById = new Map(pulls.map(({ trialId, toolName }) => [trialId, toolName]));
  const transducers = new Map(
    state.tables.rows('transducer').map((row) => [row.text('id'), row.text('name')]),
  );
  const foreign = new Set(
    state.tables
      .rows('origin')
      .filter((row) => row.text('table_name') === 'trial' && row.text('bench_id') !== state.manifest.bench.id)
      .map((row) => row.text('row_key')),
  );
  return {
    asOf,
    tools,
    pulls,
    toolNameOf: (trialId) => nameById.get(trialId) ?? '',
    isForeign: (trialId) => foreign.has(trialId),
    transducerName: (transducerId) => transducers.get(transducerId) ?? 'a transducer that is gone',
  };
}

function toPull(
  { windows }: PackageState,
  { contenders }: StoredTools,
  recomputed: RecomputedTrial,
  asOf: string | null,
): PackedPull | null {
  const { trial } = recomputed;
  const { id, startedAt, conditions, step, evaluations, namings, sessionId, isSimulated } = trial;
  if (asOf !== null && startedAt > asOf) return null;
  const evaluation = newestAsOf(evaluations, asOf);
  const figures = evaluation && recomputed.figures[evaluations.indexOf(evaluation)];
  if (evaluation === undefined || figures === undefined) return null;
  const { transducer, profile, place } = conditions;
  const { toolName, setup } = newestAsOf(namings, asOf) ?? namings[0];
  const setupId = setup?.setupId ?? null;
  const { calibrationId, definitionVersion } = evaluation;
  const { kind, direction, plannedS } = step;
  return {
    trialId: id,
    key: contenders.keyOf(setupId, foldName(toolName)),
    sessionId,
    startedAt,
    step: { kind, direction, plannedS },
    preloadNm: step.preloadNm ?? null,
    isSimulated,
    ...standingAsOf(trial, asOf),
    verdict: figures.quality.verdict,
    // A failed check tells of what a trial was made with, whatever it is read by since.
    suspicion: windows.suspicionOf({ id, calibrationId: conditions.calibrationId, startedAt }, asOf),
    role: place?.role ?? null,
    round: place?.round ?? null,
    runSheetId: place?.runSheetId ?? null,
    calibrationId,
    onsetLevelNm: figures.onsetLevelNm,
    bench: {
      transducerId: transducer.id,
      rigRevision: transducer.rigRevision,
      nominalRateHz: profile.nominalRateHz,
      antiAliasBandwidthHz: profile.antiAliasBandwidthHz,
      windowS: figures.windowS,
      definitionVersion,
    },
    figures,
    toolName,
    setupId,
    recomputed,
    suspicionAsRead: windows.suspicionOf({ id, calibrationId, startedAt }, asOf),
  };
}

/** As an earlier version of the program saw them; null where the same were left out. */
export function pullsSuspectAsRead(pulls: readonly PackedPull[]): PackedPull[] | null {
  const asRead = pulls.map((pull) => ({ ...pull, suspicion: pull.suspicionAsRead }));
  return pulls.every((pull, index) => isExcluded(pull) === isExcluded(asRead[index])) ? null : asRead;
}

export function isExcluded(pull: Pick<PulledTrial, 'suspicion'> | undefined): boolean {
  return pull?.suspicion?.decision === 'excluded';
}

export function suspectAsReadWords(count: number): string {
  return `An earlier version of the program held a failed daily check against the calibration that a trial is read by, and not against the one that it was made with: ${count} ${count === 1 ? 'trial counts' : 'trials count'} otherwise than today.`;
}

/** Values of the trials of a package. `isPossible`: whether they were measured anew when the comparison was shown. */
export function readerOfPackage(isPossible: boolean): MeasureReader<PackedPull> {
  return {
    storedValue: ({ figures }, measure) => figureOf(figures, measure),
    hasLevel: ({ figures }, levelNm) => figures.timeToLevel.some((level) => level.levelNm === levelNm),
    isPossible: () => isPossible,
    figuresOf({ trialId, recomputed: { measureAt } }, at) {
      if (measureAt !== null) return measureAt(at);
      throw new NotAPackage(`trial ${trialId}`, 'Its counts cannot be read, so it cannot be measured anew.');
    },
  };
}

export function compare(a: string, b: string): number {
  return a < b ? -1 : Number(a > b);
}
