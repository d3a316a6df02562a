import type { AppError } from '../../shared-lib/app-error.ts';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';

interface AskAgainProps {
  readonly error: AppError | null;
  readonly onAsk: () => void;
  readonly label?: string;
}

/** What a question that failed says of itself, with the way to ask it again; what was chosen stays. */
export function AskAgain({ error, onAsk, label = 'Ask again' }: AskAgainProps) {
  if (error === null) return null;
  return (
    <Notice kind="fault" live="alert" actions={<Button onPress={onAsk}>{label}</Button>}>
      {error.message}
    </Notice>
  );
}
