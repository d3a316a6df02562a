import { useState } from 'react';
import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { ReasonDialog } from '../../bench/ReasonDialog.tsx';
import { Button } from '../../ui/Button.tsx';
import { usualDiscardReasons } from './run-sentences.ts';

/** Ends a run of which no calibration shall come; its readings stay stored, with the reason. */
export function DiscardRun({ run }: { readonly run: CalibrationRun }) {
  const connection = useConnection();
  const [isAsked, setIsAsked] = useState(false);
  return (
    <>
      <Button look="quiet" onPress={() => setIsAsked(true)}>
        Discard this run
      </Button>
      {isAsked ? (
        <ReasonDialog
          title="Discard this run"
          lead={`Its ${run.taken.length} readings stay stored with the reason, but no calibration can come of them and the run cannot go on.`}
          usualReasons={usualDiscardReasons}
          actionLabel="Discard it"
          onDecide={(reason) => connection.request('discardRun', { runId: run.id, reason })}
          onClose={() => setIsAsked(false)}
        />
      ) : null}
    </>
  );
}
