import { z } from 'zod';
import { comparisonAskedSchema, type Subject } from '../../../shared-lib/publishing/publishing-model.ts';

/** Comparisons have no list of their own: those that were shown here last are kept by this browser. */
const STORAGE_KEY = 'proofarm.shareComparisons';
const MOST = 8;

const recentSchema = z.array(z.strictObject({ title: z.string(), asked: comparisonAskedSchema }));
export type RecentComparison = z.infer<typeof recentSchema>[number];

/** What was stored by another version, or by hand, is none. */
export function readRecent(text: string | null): RecentComparison[] {
  if (text === null) return [];
  try {
    return recentSchema.safeParse(JSON.parse(text)).data ?? [];
  } catch (error) {
    if (error instanceof SyntaxError) return [];
    throw error;
  }
}

/** The newest first, each once. */
export function withRecent(
  recent: readonly RecentComparison[],
  newest: RecentComparison,
): RecentComparison[] {
  const key = JSON.stringify(newest.asked);
  return [newest, ...recent.filter(({ asked }) => JSON.stringify(asked) !== key)].slice(0, MOST);
}

export function recentComparisons(): RecentComparison[] {
  return readRecent(localStorage.getItem(STORAGE_KEY));
}

export function rememberComparison(subject: Subject, title: string): void {
  if (subject.kind !== 'comparison') return;
  const next = withRecent(recentComparisons(), { title, asked: subject.asked });
  localStorage.setItem(STORAGE_KEY, JSON.stringify(next));
}
