import type { ComparedStep } from '../../shared-lib/comparison/trial-measure.ts';
import type { ListedContender, ListedSession } from './choose-pair.ts';
import { stepKey } from './compare-address.ts';
import { lowerFirst, stepName } from '../../shared-lib/comparison/words/compare-sentences.ts';

export interface ContenderOption {
  readonly key: string;
  readonly label: string;
  readonly note: string;
}

/** Everybody as A or B, the newest first, each with what they have of the step. */
export function contenderOptions(
  contenders: readonly ListedContender[],
  step: ComparedStep,
): ContenderOption[] {
  return contenders.map(({ key, label, steps, isSimulated }) => {
    const kept = steps.find((one) => stepKey(one.step) === stepKey(step))?.keptCount ?? 0;
    const words = kept === 0 ? 'none kept by this step' : `${kept} kept by this step`;
    return { key, label, note: isSimulated ? `simulated, ${words}` : words };
  });
}

/** Which of the two were pulled in a session: "A and B", "only A". */
export function presenceWords({ hasA, hasB }: { readonly hasA: boolean; readonly hasB: boolean }): string {
  if (hasA && hasB) return 'A and B';
  return hasA ? 'only A' : 'only B';
}

/** A session in a list: when it began and whose it was. */
export function sessionWords(
  { startedAt, operator }: ListedSession,
  format: (instant: string) => string,
): string {
  return operator === '' ? format(startedAt) : `${format(startedAt)}, ${operator}`;
}

/** What of somebody is there, for where nothing can be compared yet. */
export function stepsSentence({ label, steps }: ListedContender): string {
  const kept = steps.filter(({ keptCount }) => keptCount > 0);
  if (kept.length === 0) return `${label}: no trial kept yet.`;
  return `${label}: ${kept.map(({ step, keptCount }) => `${lowerFirst(stepName(step))} (${keptCount} kept)`).join('; ')}.`;
}

/** Chosen sessions with one more or one less; null, which is automatic, when none is left. */
export function withSession(
  chosen: readonly string[],
  id: string,
  isWanted: boolean,
): readonly string[] | null {
  const next = chosen.filter((one) => one !== id);
  if (isWanted) next.push(id);
  return next.length === 0 ? null : next;
}

/** To begin choosing from: the newest session that both have; without one, the newest of each, as automatic takes them. */
export function firstSessions(
  sessions: readonly { readonly session: ListedSession; readonly hasA: boolean; readonly hasB: boolean }[],
): readonly string[] {
  const both = sessions.find(({ hasA, hasB }) => hasA && hasB);
  const taken =
    both === undefined ? [sessions.find(({ hasA }) => hasA), sessions.find(({ hasB }) => hasB)] : [both];
  return taken.flatMap((one) => (one === undefined ? [] : [one.session.id]));
}
