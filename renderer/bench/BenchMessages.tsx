import type { AppError } from '../../shared-lib/app-error.ts';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';

export interface BenchMessagesProps {
  readonly error: AppError | null;
  readonly onCloseError: () => void;
  /** A sheet that has just been taken off the bench. */
  readonly leftSheet: { readonly id: string; readonly name: string } | null;
  readonly onPutBack: (runSheetId: string) => void;
}

/** What the services refused, and what can be undone. */
export function BenchMessages({ error, onCloseError, leftSheet, onPutBack }: BenchMessagesProps) {
  return (
    <>
      {error === null ? null : (
        <Notice
          // Somebody went on in another window: nothing is broken, and the Bench already shows what is next now.
          kind={error.code === 'bench-moved-on' ? 'caution' : 'fault'}
          live="alert"
          actions={
            <Button look="quiet" onPress={onCloseError}>
              Close
            </Button>
          }
        >
          {error.message}
        </Notice>
      )}
      {leftSheet === null ? null : (
        <Notice
          kind="information"
          live="status"
          actions={<Button onPress={() => onPutBack(leftSheet.id)}>Put it back</Button>}
        >
          The run sheet “{leftSheet.name}” is off the bench. Nothing of it is lost: it goes on where it was
          left.
        </Notice>
      )}
    </>
  );
}
