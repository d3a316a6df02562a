import { type Subject, subjectSchema } from '../../shared-lib/publishing/publishing-model.ts';

/** What the place Share can show; each at an address of its own. */
export const shareViews = ['chart', 'report', 'data', 'replay', 'overlay', 'bring-in'] as const;
export type ShareView = (typeof shareViews)[number];

/** The address at which something is published; it holds the subject, so that reload and bookmarks work. */
export function shareAddress(view: ShareView, subject: Subject | null): string {
  const address = `/share/${view}`;
  return subject === null ? address : `${address}?subject=${encodeURIComponent(JSON.stringify(subject))}`;
}

/** Null where the address names none, or none that can be read. */
export function readSubject(search: string): Subject | null {
  const text = new URLSearchParams(search).get('subject');
  if (text === null) return null;
  try {
    const read = subjectSchema.safeParse(JSON.parse(text));
    return read.success ? read.data : null;
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}
