import { useState } from 'react';
import { Link } from 'wouter';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Notice } from '../ui/Notice.tsx';
import { DecisionDialog } from './later-dialogs.ts';

/** What a crash, a power cut or a stop has left behind is offered, one trial at a time. */
export function CutOffNotice({ trialIds }: { readonly trialIds: readonly string[] }) {
  const connection = useConnection();
  const action = useAction();
  const [voidingId, setVoidingId] = useState<string | null>(null);
  const [trialId, ...more] = trialIds;
  if (trialId === undefined) return null;
  return (
    <>
      <Notice
        kind="caution"
        live="status"
        actions={
          <>
            <Button
              isPending={action.isBusy}
              onPress={() => void action.run(() => connection.request('keepTrial', { trialId }))}
            >
              Keep it
            </Button>
            <Button onPress={() => setVoidingId(trialId)}>Void it</Button>
            <Link href={`/logbook/${trialId}`}>Look at it</Link>
          </>
        }
      >
        A trial was cut off before it was whole. What had been recorded is in the Logbook
        {more.length === 0 ? '.' : `, and ${more.length} more like it.`}
      </Notice>
      <FailureNotice error={action.error} />
      {voidingId === null ? null : (
        <DecisionDialog decision="voidCutOff" trialId={voidingId} onClose={() => setVoidingId(null)} />
      )}
    </>
  );
}
