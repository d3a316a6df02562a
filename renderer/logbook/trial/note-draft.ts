import type { Annotation } from '../../../shared-lib/trial/trial-trail.ts';

export interface NoteDraft {
  readonly note: string;
  readonly tags: readonly string[];
}

/** Limits of the contract. */
export const MOST_TAGS = 12;
export const LONGEST_TAG = 40;
export const LONGEST_NOTE = 2000;

/** What stands now: the newest annotation. */
export function storedNote(annotations: readonly Annotation[]): NoteDraft {
  const newest = annotations.at(-1);
  return { note: newest?.note ?? '', tags: newest?.tags ?? [] };
}

export function isSameNote(one: NoteDraft, other: NoteDraft): boolean {
  return one.note.trim() === other.note.trim() && one.tags.join('\n') === other.tags.join('\n');
}

/** Which of what was typed over stands otherwise by now than when it was first touched: another window has stored it. */
export function changedSince(
  draft: Partial<NoteDraft>,
  before: NoteDraft,
  stored: NoteDraft,
): readonly (keyof NoteDraft)[] {
  const textOf = ({ note, tags }: Partial<NoteDraft>) => ({ note: note?.trim(), tags: tags?.join('\n') });
  const [typed, then, now] = [textOf(draft), textOf(before), textOf(stored)];
  return (['note', 'tags'] as const).filter(
    (part) => typed[part] !== undefined && then[part] !== now[part] && typed[part] !== now[part],
  );
}

/** With the tag at the end; as it was where it is empty, there already in any case of letters, or one too many. */
export function withTag(tags: readonly string[], typed: string): readonly string[] {
  const tag = typed.trim().replaceAll(/\s+/g, ' ').slice(0, LONGEST_TAG);
  const isThere = tags.some((known) => known.toLowerCase() === tag.toLowerCase());
  return tag === '' || isThere || tags.length >= MOST_TAGS ? tags : [...tags, tag];
}

const MOST_SUGGESTIONS = 8;

/** Tags in use that go on with what was typed, the most used first, without those that the trial has. */
export function suggestedTags(
  known: readonly { readonly tag: string; readonly count: number }[],
  tags: readonly string[],
  typed: string,
): string[] {
  const wanted = typed.trim().toLowerCase();
  const has = new Set(tags.map((tag) => tag.toLowerCase()));
  return known
    .filter(({ tag }) => tag.toLowerCase().includes(wanted) && !has.has(tag.toLowerCase()))
    .toSorted((one, other) => other.count - one.count)
    .slice(0, MOST_SUGGESTIONS)
    .map(({ tag }) => tag);
}
