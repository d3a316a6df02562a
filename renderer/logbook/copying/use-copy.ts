import { useCallback, useState } from 'react';
import { AppError } from '../../../shared-lib/app-error.ts';

export interface CopyOutcome {
  readonly words: string;
  readonly isProblem: boolean;
}

export interface Copier {
  /** What became of the newest one; null before. */
  readonly outcome: CopyOutcome | null;
  /** `what` names it for the message: "3 trials". The text may have to be fetched first. */
  readonly copyText: (what: string, text: string | (() => Promise<string>)) => Promise<void>;
  readonly copyPicture: (what: string, picture: () => Promise<Blob>) => Promise<void>;
  /** For what the browser has copied by itself. */
  readonly tellCopied: (what: string) => void;
}

/** Hands things to the clipboard and says what became of it. */
export function useCopy(): Copier {
  const [outcome, setOutcome] = useState<CopyOutcome | null>(null);
  const tellCopied = useCallback(
    (what: string) => setOutcome({ words: `Copied: ${what}.`, isProblem: false }),
    [],
  );
  const attempt = useCallback(
    async (what: string, write: () => Promise<void>) => {
      try {
        await write();
        tellCopied(what);
      } catch (failure) {
        setOutcome({ words: problemWords(failure), isProblem: true });
      }
    },
    [tellCopied],
  );
  const copyText = useCallback(
    (what: string, text: string | (() => Promise<string>)) =>
      attempt(what, async () => {
        await navigator.clipboard.writeText(typeof text === 'string' ? text : await text());
      }),
    [attempt],
  );
  const copyPicture = useCallback(
    (what: string, picture: () => Promise<Blob>) =>
      attempt(what, () => navigator.clipboard.write([new ClipboardItem({ 'image/png': picture() })])),
    [attempt],
  );
  return { outcome, copyText, copyPicture, tellCopied };
}

/** Anything but a request that failed or a clipboard that refuses is a mistake of ours, and thrown. */
function problemWords(failure: unknown): string {
  if (failure instanceof AppError) return `Nothing was copied. ${failure.message}`;
  if (failure instanceof DOMException) {
    return 'Nothing was copied: this window may not write to the clipboard.';
  }
  throw failure;
}
