import { useState } from 'react';

export interface Draft {
  readonly typed: string;
  readonly onTyped: (typed: string) => void;
  readonly isChanged: boolean;
  /** Goes back to showing what is saved; to be called once `sent` has been saved. What was typed meanwhile stays. */
  readonly forget: (sent: string) => void;
}

/**
 * The text of a field that is saved when it is left: what was typed stands until it is saved, whatever happens. A field that was typed back
 * to what is saved follows what is saved elsewhere, and does not put it back.
 */
export function useDraft(saved: string): Draft {
  const [draft, setDraft] = useState<string | null>(null);
  return {
    typed: draft ?? saved,
    onTyped: (typed) => setDraft(typed === saved ? null : typed),
    isChanged: draft !== null && draft !== saved,
    forget: (sent) => setDraft((now) => (now === sent ? null : now)),
  };
}
