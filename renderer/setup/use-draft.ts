import { useState } from 'react';

export interface Draft {
  readonly typed: string;
  readonly onTyped: (typed: string) => void;
  readonly isChanged: boolean;
  /** Goes back to showing what is saved; to be called once the typed text has been saved. */
  readonly forget: () => void;
}

/** The text of a field that is saved when it is left: what was typed stands until it is saved, whatever happens. */
export function useDraft(saved: string): Draft {
  const [draft, setDraft] = useState<string | null>(null);
  return {
    typed: draft ?? saved,
    onTyped: setDraft,
    isChanged: draft !== null && draft !== saved,
    forget: () => setDraft(null),
  };
}
