import { useState } from 'react';
import type { CatalogueForm } from './tool-form.ts';

/** Outlives the page, so that a look at another one loses nothing that was typed; ends with the window. */
const drafts = new Map<string, CatalogueForm>();

export interface ToolDraft {
  /** Null: nothing was typed since it was stored. */
  readonly draft: CatalogueForm | null;
  readonly write: (draft: CatalogueForm) => void;
  readonly forget: () => void;
}

export function useToolDraft(key: string): ToolDraft {
  const [draft, setDraft] = useState(() => drafts.get(key) ?? null);
  return {
    draft,
    write: (next) => {
      drafts.set(key, next);
      setDraft(next);
    },
    forget: () => {
      drafts.delete(key);
      setDraft(null);
    },
  };
}
