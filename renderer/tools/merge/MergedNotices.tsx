import { useState } from 'react';
import { Link } from 'wouter';
import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { ReasonDialog } from '../../bench/ReasonDialog.tsx';
import { Button } from '../../ui/Button.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { toolAddress } from '../tools-addresses.ts';
import type { Catalogue } from '../use-catalogue.ts';

const usualReasons = ['They are two different tools', 'Merged with the wrong one'];

interface MergedNoticesProps {
  readonly tool: CatalogueTool;
  readonly catalogue: Catalogue;
}

/** That a tool was merged into another one, or others into it, with the way back. */
export function MergedNotices({ tool, catalogue }: MergedNoticesProps) {
  const into = catalogue.tools.find(({ tool: { id } }) => id === tool.mergedIntoToolId) ?? null;
  const takenIn = catalogue.tools.filter(({ mergedIntoToolId }) => mergedIntoToolId === tool.tool.id);
  return (
    <>
      {into === null ? null : (
        <Notice kind="information" actions={<UndoMerge from={tool} />}>
          Merged into <Link href={toolAddress(into.tool.id)}>{into.tool.name}</Link>: its trials, setups and
          ratings count there.
        </Notice>
      )}
      {takenIn.map((from) => (
        <Notice key={from.tool.id} kind="information" actions={<UndoMerge from={from} />}>
          <Link href={toolAddress(from.tool.id)}>{from.tool.name}</Link> was merged into this one: its trials,
          setups and ratings count here.
        </Notice>
      ))}
    </>
  );
}

function UndoMerge({ from }: { readonly from: CatalogueTool }) {
  const connection = useConnection();
  const [isAsked, setIsAsked] = useState(false);
  const fromToolId = from.tool.id;
  return (
    <>
      <Button aria-label={`Undo the merge of ${from.tool.name}`} onPress={() => setIsAsked(true)}>
        Undo the merge
      </Button>
      {isAsked ? (
        <ReasonDialog
          title="Undo the merge"
          lead={`${from.tool.name} is a tool of its own again, with its own trials and setups. That it was merged, and why, stays in its history.`}
          usualReasons={usualReasons}
          ownWordsHelp="At least three characters. It is stored with the history."
          actionLabel="Undo the merge"
          onDecide={(reason) => connection.request('undoMerge', { fromToolId, reason })}
          onClose={() => setIsAsked(false)}
        />
      ) : null}
    </>
  );
}
