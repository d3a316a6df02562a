import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type { ComparedStep, TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import { type AddressedChoice, stepKey } from './compare-address.ts';
import { firstMeasure, fitsStep } from './measure-choices.ts';

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
    };

interface Meeting {
  readonly step: ComparedStep;
  readonly isSameSession: boolean;
  /** Begin of the newest session that both have; else of the older one of the newest of each. */
  readonly at: string;
  /** Of the one that has fewer. */
  readonly keptCount: number;
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
  const isSomebodyMissing =
    (addressed.a !== null && askedA === null) || (addressed.b !== null && find(addressed.b) === null);
  const meet = meetingsOf(sessions);
  const chosen = pairOf(contenders, askedA, askedB, addressed.step, meet);
  if (chosen === null) return { state: 'alone', contenders };
  const [a, b] = chosen;
  const meetings = meet(a, b);
  const asked = meetings.find(
    ({ step }) => addressed.step !== null && stepKey(step) === stepKey(addressed.step),
  );
  const best = asked ?? meetings[0];
  if (best === undefined) return { state: 'noSharedStep', a, b };
  const { step } = best;
  const measure =
    addressed.measure !== null && fitsStep(addressed.measure, step) ? addressed.measure : firstMeasure(step);
  const { sessionIds, isForced } = addressed;
  return {
    state: 'pair',
    choice: { step, a: a.key, b: b.key, measure, sessionIds, isForced },
    a,
    b,
    isSomebodyMissing,
  };
}

type Meet = (a: ListedContender, b: ListedContender) => Meeting[];

/** Whoever was asked for stays, whether or not they share a step; nobody is compared with themselves. */
function pairOf(
  contenders: readonly ListedContender[],
  askedA: ListedContender | null,
  askedB: ListedContender | null,
  step: ComparedStep | null,
  meet: Meet,
): [ListedContender, ListedContender] | null {
  if (askedA !== null && askedB !== null) return [askedA, askedB];
  if (askedA !== null) {
    const partner = partnerOf(askedA, contenders, step, meet);
    return partner === null ? null : [askedA, partner];
  }
  if (askedB !== null) {
    const partner = partnerOf(askedB, contenders, step, meet);
    return partner === null ? null : [partner, askedB];
  }
  for (const one of contenders) {
    const partner = partnerOf(one, contenders, step, meet);
    if (partner !== null) return [one, partner];
  }
  return null;
}

/** Somebody to compare with: by the step that was asked for if there is one, from the same session, and tested last. */
function partnerOf(
  one: ListedContender,
  contenders: readonly ListedContender[],
  step: ComparedStep | null,
  meet: Meet,
): ListedContender | null {
  const isAsked = (meeting: Meeting) => step !== null && stepKey(meeting.step) === stepKey(step);
  const candidates = contenders.flatMap((other) => {
    if (other === one || other.isSimulated !== one.isSimulated) return [];
    const meetings = meet(one, other);
    const meeting = meetings.find(isAsked) ?? meetings[0];
    return meeting === undefined ? [] : [{ other, meeting }];
  });
  candidates.sort(
    (p, q) =>
      Number(isAsked(q.meeting)) - Number(isAsked(p.meeting)) || compareMeetings(p.meeting, q.meeting),
  );
  return candidates[0]?.other ?? null;
}

function compareMeetings(p: Meeting, q: Meeting): number {
  return (
    Number(q.isSameSession) - Number(p.isSameSession) ||
    q.at.localeCompare(p.at) ||
    q.keptCount - p.keptCount ||
    stepKey(p.step).localeCompare(stepKey(q.step))
  );
}

/** By which steps two could be compared, the best of them first. A step of which one kept nothing comes to nothing. */
function meetingsOf(sessions: readonly ListedSession[]): Meet {
  const startedAt = new Map(sessions.map(({ id, startedAt: at }) => [id, at]));
  const newest = (ids: readonly string[]): string =>
    ids.map((id) => startedAt.get(id) ?? '').reduce((latest, at) => (at > latest ? at : latest), '');
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
      .sort(compareMeetings);
}

/** Steps that both were pulled by with a kept trial each, the best to compare by first. */
export function sharedSteps(
  listed: ListedContenders,
  a: ListedContender,
  b: ListedContender,
): ComparedStep[] {
  return meetingsOf(listed.sessions)(a, b).map(({ step }) => step);
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
