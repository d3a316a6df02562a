import type { AppError } from '../../shared-lib/app-error.ts';
import { Button } from './Button.tsx';
import { Notice } from './Notice.tsx';

export interface FailureNoticeProps {
  readonly error: AppError | null;
  /** Of a look-up without which nothing goes on. */
  readonly onAskAgain?: () => void;
}

/** What a refused or failed action says of itself, spoken at once; nothing where nothing failed. */
export function FailureNotice({ error, onAskAgain }: FailureNoticeProps) {
  if (error === null) return null;
  return (
    <Notice
      kind="fault"
      live="alert"
      actions={onAskAgain === undefined ? undefined : <Button onPress={onAskAgain}>Ask again</Button>}
    >
      {error.message}
    </Notice>
  );
}
