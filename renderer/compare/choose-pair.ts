import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type { ComparedStep, TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import { type AddressedChoice, stepKey } from './compare-address.ts';
import { firstMeasure, fitsStep } from '../../shared-lib/comparison/words/measure-choices.ts';

/** So many pairs are looked at for one that can be compared before the first is shown with the reasons. */
const MOST_CANDIDATES = 20;

export type ListedContenders = RequestResult<'listContenders'>;
export type ListedContender = ListedContenders['contenders'][number];
export type ListedSession = ListedContenders['sessions'][number];

/** A comparison with nothing left open. */
export interface CompleteChoice {
  readonly step: ComparedStep;
  readonly a: string;
  readonly b: string;
  readonly measure: TrialMeasure;
  readonly sessionIds: readonly string[] | null;
  readonly isForced: boolean;
}

export type Chosen =
  | { readonly state: 'nobody' }
  /** There is one contender, or no two of them were pulled by the same step. */
  | { readonly state: 'alone'; readonly contenders: readonly ListedContender[] }
  /** Two that were asked for, but no step that both were pulled by. */
  | { readonly state: 'noSharedStep'; readonly a: ListedContender; readonly b: ListedContender }
  | {
      readonly state: 'pair';
      readonly choice: CompleteChoice;
      readonly a: ListedContender;
      readonly b: ListedContender;
      /** The address named somebody who is not there. */
      readonly isSomebodyMissing: boolean;
      /** Where the address leaves somebody open: pairs to look at for one whose benches are alike, as even one session can have two. */
      readonly candidates: readonly CompleteChoice[];
    };

interface Meeting {
  readonly step: ComparedStep;
  readonly isSameSession: boolean;
  /** Begin of the newest session that both have; else of the older one of the newest of each. */
  readonly at: string;
  /** Of the one that has fewer. */
  readonly keptCount: number;
}

interface Pair {
  readonly a: ListedContender;
  readonly b: ListedContender;
}

/**
 * Fills what the address leaves open: who was tested last, and beside them somebody with a step in common, from the same session
 * where there is one.
 */
export function choosePair(listed: ListedContenders, addressed: AddressedChoice): Chosen {
  const { contenders, sessions } = listed;
  if (contenders.length === 0) return { state: 'nobody' };
  const find = (key: string | null) => contenders.find((one) => one.key === key) ?? null;
  const askedA = find(addressed.a);
  const askedB = find(addressed.b) === askedA ? null : find(addressed.b);
  const meet = meetingsOf(sessions, addressed.step);
  const pairs = pairsOf(contenders, askedA, askedB, meet);
  const [pair] = pairs;
  if (pair === undefined) return { state: 'alone', contenders };
  const [meeting] = meet(pair.a, pair.b);
  if (meeting === undefined) return { state: 'noSharedStep', ...pair };
  const complete = ({ a, b }: Pair, { step }: Meeting): CompleteChoice => {
    const { measure, sessionIds, isForced } = addressed;
    return {
      step,
      a: a.key,
      b: b.key,
      measure: measure !== null && fitsStep(measure, step) ? measure : firstMeasure(step),
      sessionIds,
      isForced,
    };
  };
  const isOpen = askedA === null || askedB === null;
  return {
    state: 'pair',
    choice: complete(pair, meeting),
    ...pair,
    isSomebodyMissing:
      (addressed.a !== null && askedA === null) || (addressed.b !== null && find(addressed.b) === null),
    candidates:
      isOpen && !addressed.isForced
        ? pairs.slice(0, MOST_CANDIDATES).flatMap((candidate) => {
            const [best] = meet(candidate.a, candidate.b);
            return best === undefined ? [] : [complete(candidate, best)];
          })
        : [],
  };
}

type Meet = (a: ListedContender, b: ListedContender) => Meeting[];

/** Whoever was asked for stays, whether or not they share a step; nobody is compared with themselves. The best pair first. */
function pairsOf(
  contenders: readonly ListedContender[],
  askedA: ListedContender | null,
  askedB: ListedContender | null,
  meet: Meet,
): Pair[] {
  if (askedA !== null && askedB !== null) return [{ a: askedA, b: askedB }];
  if (askedA !== null) return partnersOf(askedA, contenders, meet).map((b) => ({ a: askedA, b }));
  if (askedB !== null) return partnersOf(askedB, contenders, meet).map((a) => ({ a, b: askedB }));
  return contenders.flatMap((a, place) =>
    // With those before it a pair was formed already.
    partnersOf(a, contenders.slice(place + 1), meet).map((b) => ({ a, b })),
  );
}

/** Those to compare with: by the step that was asked for, from the same session, tested last. */
function partnersOf(
  one: ListedContender,
  contenders: readonly ListedContender[],
  meet: Meet,
): ListedContender[] {
  return contenders
    .flatMap((other) => {
      if (other === one || other.isSimulated !== one.isSimulated) return [];
      const [meeting] = meet(one, other);
      return meeting === undefined ? [] : [{ other, meeting }];
    })
    .sort((p, q) => compareMeetings(p.meeting, q.meeting))
    .map(({ other }) => other);
}

function compareMeetings(p: Meeting, q: Meeting): number {
  return (
    Number(q.isSameSession) - Number(p.isSameSession) ||
    q.at.localeCompare(p.at) ||
    q.keptCount - p.keptCount ||
    stepKey(p.step).localeCompare(stepKey(q.step))
  );
}

/**
 * By which steps two could be compared, the best of them first, but the one that was asked for before it. A step of which one
 * kept nothing comes to nothing.
 */
function meetingsOf(sessions: readonly ListedSession[], asked: ComparedStep | null): Meet {
  const startedAt = new Map(sessions.map(({ id, startedAt: at }) => [id, at]));
  const newest = (ids: readonly string[]): string =>
    ids.map((id) => startedAt.get(id) ?? '').reduce((latest, at) => (at > latest ? at : latest), '');
  const isAsked = ({ step }: Meeting) => asked !== null && stepKey(step) === stepKey(asked);
  return (a, b) =>
    a.steps
      .flatMap((ofA): Meeting[] => {
        const ofB = b.steps.find(({ step }) => stepKey(step) === stepKey(ofA.step));
        const keptCount = Math.min(ofA.keptCount, ofB?.keptCount ?? 0);
        if (ofB === undefined || keptCount === 0) return [];
        const shared = ofA.sessionIds.filter((id) => ofB.sessionIds.includes(id));
        const apart = [newest(ofA.sessionIds), newest(ofB.sessionIds)].sort()[0] ?? '';
        return [
          {
            step: ofA.step,
            isSameSession: shared.length > 0,
            at: shared.length > 0 ? newest(shared) : apart,
            keptCount,
          },
        ];
      })
      .sort((p, q) => Number(isAsked(q)) - Number(isAsked(p)) || compareMeetings(p, q));
}

/** Steps that both were pulled by with a kept trial each, the best to compare by first. */
export function sharedSteps(
  listed: ListedContenders,
  a: ListedContender,
  b: ListedContender,
): ComparedStep[] {
  return meetingsOf(listed.sessions, null)(a, b).map(({ step }) => step);
}

/** Sessions in which either was pulled by the step, newest first, with who was. */
export function sessionsOfPair(
  listed: ListedContenders,
  a: ListedContender,
  b: ListedContender,
  step: ComparedStep,
): { readonly session: ListedSession; readonly hasA: boolean; readonly hasB: boolean }[] {
  const idsOf = ({ steps }: ListedContender) =>
    steps.find((one) => stepKey(one.step) === stepKey(step))?.sessionIds ?? [];
  return listed.sessions
    .map((session) => ({
      session,
      hasA: idsOf(a).includes(session.id),
      hasB: idsOf(b).includes(session.id),
    }))
    .filter(({ hasA, hasB }) => hasA || hasB)
    .sort((p, q) => q.session.startedAt.localeCompare(p.session.startedAt));
}
