import { Link } from 'wouter';
import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { Notice } from '../../ui/Notice.tsx';
import { toolAddress } from '../tools-addresses.ts';
import type { Catalogue } from '../use-catalogue.ts';
import { UndoMerge } from './UndoMerge.tsx';

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
        <Notice kind="information" actions={<UndoMerge from={tool.tool} />}>
          Merged into <Link href={toolAddress(into.tool.id)}>{into.tool.name}</Link>: its trials, setups and
          ratings count there.
        </Notice>
      )}
      {takenIn.map((from) => (
        <Notice key={from.tool.id} kind="information" actions={<UndoMerge from={from.tool} />}>
          <Link href={toolAddress(from.tool.id)}>{from.tool.name}</Link> was merged into this one: its trials,
          setups and ratings count here.
        </Notice>
      ))}
    </>
  );
}
