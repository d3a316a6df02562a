import type { AppError } from '../../shared-lib/app-error.ts';
import { Notice } from './Notice.tsx';

/** What a refused or failed action says of itself, spoken at once; nothing where nothing failed. */
export function FailureNotice({ error }: { readonly error: AppError | null }) {
  if (error === null) return null;
  return (
    <Notice kind="fault" live="alert">
      {error.message}
    </Notice>
  );
}
