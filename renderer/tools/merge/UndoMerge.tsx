import { useState } from 'react';
import type { Tool } from '../../../shared-lib/run-sheet/setup-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { ReasonDialog } from '../../bench/ReasonDialog.tsx';
import { Button } from '../../ui/Button.tsx';

const usualReasons = ['They are two different tools', 'Merged with the wrong one'];

/** The way back of a merge, with its reason. */
export function UndoMerge({ from }: { readonly from: Pick<Tool, 'id' | 'name'> }) {
  const connection = useConnection();
  const [isAsked, setIsAsked] = useState(false);
  return (
    <>
      <Button aria-label={`Undo the merge of ${from.name}`} onPress={() => setIsAsked(true)}>
        Undo the merge
      </Button>
      {isAsked ? (
        <ReasonDialog
          title="Undo the merge"
          lead={`${from.name} is a tool of its own again, with its own trials and setups. That it was merged, and why, stays in its history.`}
          usualReasons={usualReasons}
          ownWordsHelp="At least three characters. It is stored with the history."
          actionLabel="Undo the merge"
          onDecide={(reason) => connection.request('undoMerge', { fromToolId: from.id, reason })}
          onClose={() => setIsAsked(false)}
        />
      ) : null}
    </>
  );
}
