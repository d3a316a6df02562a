import { describeComparedStep } from './measure-words.ts';
import type { ComparedStep } from './trial-measure.ts';
import type { QualityGate } from '../run-sheet/session-model.ts';
import { type PulledTrial, whyLeftOut } from './pulled-trial.ts';
import {
  benchKey,
  compareText,
  isSimulatedAgainstReal,
  newestOf,
  notLikeForLike,
  type TransducerNames,
  whyNotAlike,
} from './like-for-like.ts';

export interface AskedPair {
  readonly step: ComparedStep;
  readonly a: { readonly key: string; readonly label: string };
  readonly b: { readonly key: string; readonly label: string };
  /** Null: chosen here. */
  readonly sessionIds: readonly string[] | null;
  readonly isForced: boolean;
  /** False: by rules of before, which took of a run sheet that went on in another session only what is in the newest. */
  readonly areSheetsWhole?: boolean;
}

export interface ChosenTrials<Trial extends PulledTrial = PulledTrial> {
  /** In the order in which they began. */
  readonly sessionIds: readonly string[];
  /** Counting ones; of one bench each, and of one for both where it is like for like. */
  readonly a: readonly Trial[];
  readonly b: readonly Trial[];
  /** Counting ones of other contenders in these sessions, on the same bench and read by the same calibrations. */
  readonly others: readonly Trial[];
  /** Of A and B in these sessions, with the reason. */
  readonly leftOut: readonly { readonly score: Trial; readonly because: string }[];
  readonly isLikeForLike: boolean;
}

export type Choice<Trial extends PulledTrial = PulledTrial> =
  { readonly chosen: ChosenTrials<Trial> } | { readonly reasons: string[] };

/**
 * Which trials of a step two contenders are compared by, or why they are not compared.
 *
 * Without sessions named: those of the newest session in which both have counting trials of one bench, and of the other sessions of
 * its run sheets; without such a session, of the newest one of each on a bench that both have. Real trials go before simulated ones; the two are never compared.
 */
export function chooseTrials<Trial extends PulledTrial>(
  scores: readonly Trial[],
  pair: AskedPair,
  gate: QualityGate,
  nameOf: TransducerNames,
): Choice<Trial> {
  if (pair.a.key === pair.b.key) {
    return {
      reasons: ['This is one and the same setup on both sides. Choose another one to compare it with.'],
    };
  }
  const inSessions =
    pair.sessionIds === null
      ? scores
      : scores.filter(({ sessionId }) => pair.sessionIds?.includes(sessionId));
  const counting = inSessions.filter((score) => whyLeftOut(score, gate) === null);
  const ofA = counting.filter(({ key }) => key === pair.a.key);
  const ofB = counting.filter(({ key }) => key === pair.b.key);
  const missing = [
    ...(ofA.length === 0 ? [whyNone(inSessions, pair, pair.a, gate)] : []),
    ...(ofB.length === 0 ? [whyNone(inSessions, pair, pair.b, gate)] : []),
  ];
  if (missing.length > 0) return { reasons: missing };

  const sides = chooseSides(ofA, ofB, pair, nameOf);
  if ('reasons' in sides) return sides;
  const { a, b } = sides;
  const takenIds = new Set([...a, ...b].map(({ trialId }) => trialId));
  // In the order in which they were pulled, as the scores come.
  const taken = inSessions.filter(({ trialId }) => takenIds.has(trialId));
  const sessionIds = new Set(taken.map(({ sessionId }) => sessionId));
  const keysOfBenches = new Set(taken.map(benchKey));
  const calibrationIds = new Set(taken.map(({ calibrationId }) => calibrationId));
  const isOfPair = ({ key }: PulledTrial): boolean => key === pair.a.key || key === pair.b.key;
  return {
    chosen: {
      sessionIds: [...sessionIds],
      a,
      b,
      others: counting.filter(
        (score) =>
          !isOfPair(score) &&
          sessionIds.has(score.sessionId) &&
          keysOfBenches.has(benchKey(score)) &&
          calibrationIds.has(score.calibrationId),
      ),
      leftOut: inSessions
        .filter((score) => isOfPair(score) && sessionIds.has(score.sessionId) && !takenIds.has(score.trialId))
        .map((score) => ({
          score,
          because:
            whyLeftOut(score, gate) ?? whyNotTaken(score, score.key === pair.a.key ? a[0] : b[0], nameOf),
        })),
      isLikeForLike: keysOfBenches.size === 1,
    },
  };
}

interface Sides<Trial extends PulledTrial> {
  readonly a: readonly Trial[];
  readonly b: readonly Trial[];
}

function chooseSides<Trial extends PulledTrial>(
  ofA: readonly Trial[],
  ofB: readonly Trial[],
  { a, b, sessionIds, isForced, areSheetsWhole = true }: AskedPair,
  nameOf: TransducerNames,
): Sides<Trial> | { readonly reasons: string[] } {
  const benchesOfB = Map.groupBy(ofB, benchKey);
  const common = [...Map.groupBy(ofA, benchKey)].flatMap(([key, trials]) => {
    const others = benchesOfB.get(key);
    return others === undefined ? [] : [{ a: trials, b: others }];
  });
  const isAnyReal = common.some((sides) => sides.a[0]?.isSimulated === false);
  const eligible = common.filter((sides) => sides.a[0]?.isSimulated !== isAnyReal);
  if (eligible.length > 0) {
    return sessionIds === null ? newestSessions(eligible, areSheetsWhole) : fullestBench(eligible);
  }

  const worlds = [false, true].map((isSimulated) => ({
    a: ofA.filter((score) => score.isSimulated === isSimulated),
    b: ofB.filter((score) => score.isSimulated === isSimulated),
  }));
  const sides = worlds.find((world) => world.a.length > 0 && world.b.length > 0) ?? { a: ofA, b: ofB };
  const [newestA, newestB] = [newestOf(sides.a), newestOf(sides.b)];
  if (newestA === null || newestB === null) throw new Error('Both sides have counting trials here');
  if (!isForced || isSimulatedAgainstReal(newestA, newestB)) {
    return {
      reasons: whyNotAlike(newestA, newestB, nameOf).map((what) => `${a.label} against ${b.label}: ${what}.`),
    };
  }
  const ofNewest = sessionIds === null ? newestSessions([sides], areSheetsWhole) : sides;
  return { a: fullest(ofNewest.a), b: fullest(ofNewest.b) };
}

/** Of the benches that both have. */
function newestSessions<Trial extends PulledTrial>(
  benches: readonly Sides<Trial>[],
  areSheetsWhole: boolean,
): Sides<Trial> {
  const shared = benches.flatMap((bench) => {
    const sessionsOfB = new Set(bench.b.map(({ sessionId }) => sessionId));
    const newest = newestOf(bench.a.filter(({ sessionId }) => sessionsOfB.has(sessionId)));
    return newest === null ? [] : [{ bench, newest }];
  });
  const [latest] = shared.toSorted((one, other) => compareText(other.newest.startedAt, one.newest.startedAt));
  if (latest !== undefined) {
    const { a, b } = latest.bench;
    const sessions = sessionsOfSheets([...a, ...b], latest.newest.sessionId, areSheetsWhole);
    const isOfThem = ({ sessionId }: PulledTrial): boolean => sessions.has(sessionId);
    return { a: a.filter(isOfThem), b: b.filter(isOfThem) };
  }
  // The bench on which the older of both sides is the newest.
  const olderOf = (bench: Sides<Trial>): string =>
    [newestOf(bench.a)?.startedAt ?? '', newestOf(bench.b)?.startedAt ?? ''].toSorted(compareText)[0] ?? '';
  const [bench] = benches.toSorted((one, other) => compareText(olderOf(other), olderOf(one)));
  if (bench === undefined) return { a: [], b: [] };
  return { a: ofNewestSession(bench.a), b: ofNewestSession(bench.b) };
}

/** A session, and those in which a run sheet of it was pulled too: its plan is one, whatever day it is done on. */
function sessionsOfSheets(
  trials: readonly PulledTrial[],
  sessionId: string,
  areSheetsWhole: boolean,
): ReadonlySet<string> {
  if (!areSheetsWhole) return new Set([sessionId]);
  const sheets = new Set(
    trials.flatMap((trial) => (trial.sessionId === sessionId ? (trial.runSheetId ?? []) : [])),
  );
  const ofSheets = trials.filter(({ runSheetId }) => runSheetId !== null && sheets.has(runSheetId));
  return new Set([sessionId, ...ofSheets.map((trial) => trial.sessionId)]);
}

function ofNewestSession<Trial extends PulledTrial>(scores: readonly Trial[]): readonly Trial[] {
  const newest = newestOf(scores);
  return scores.filter(({ sessionId }) => sessionId === newest?.sessionId);
}

/** In sessions that were named: the bench on which the side with less has the most. */
function fullestBench<Trial extends PulledTrial>(benches: readonly Sides<Trial>[]): Sides<Trial> {
  const [fullestOne] = benches.toSorted(
    (one, other) =>
      Math.min(other.a.length, other.b.length) - Math.min(one.a.length, one.b.length) ||
      compareText(newestOf(other.a)?.startedAt ?? '', newestOf(one.a)?.startedAt ?? ''),
  );
  return fullestOne ?? { a: [], b: [] };
}

/** One side by itself, where the two are compared although they are not alike. */
function fullest<Trial extends PulledTrial>(scores: readonly Trial[]): readonly Trial[] {
  const [most] = [...Map.groupBy(scores, benchKey).values()].toSorted(
    (one, other) =>
      other.length - one.length ||
      compareText(newestOf(other)?.startedAt ?? '', newestOf(one)?.startedAt ?? ''),
  );
  return most ?? [];
}

function whyNotTaken(score: PulledTrial, taken: PulledTrial | undefined, nameOf: TransducerNames): string {
  return taken === undefined ? 'not chosen' : notLikeForLike(score, taken, nameOf);
}

function whyNone(
  scores: readonly PulledTrial[],
  { step, sessionIds }: AskedPair,
  side: AskedPair['a'],
  gate: QualityGate,
): string {
  const where = sessionIds === null ? '' : ' in the chosen sessions';
  const what = describeComparedStep(step);
  const own = scores.filter(({ key }) => key === side.key);
  if (own.length === 0)
    return `${side.label} has no trial by ${what}${where}. Pull it, or choose another step.`;
  const counts = new Map<string, number>();
  for (const score of own) {
    const reason = whyLeftOut(score, gate) ?? '';
    counts.set(reason, (counts.get(reason) ?? 0) + 1);
  }
  const reasons = [...counts].map(([reason, count]) => `${count} ${reason}`).join(', ');
  return `${side.label} has no trial by ${what} that counts${where}: ${reasons}.`;
}
