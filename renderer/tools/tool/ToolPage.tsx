import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { runSheetAddresses } from '../../run-sheet/run-sheet-addresses.ts';
import { Button } from '../../ui/Button.tsx';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { MergeAction } from '../merge/MergeAction.tsx';
import { MergedNotices } from '../merge/MergedNotices.tsx';
import { countWords, makerAndModel } from '../tool-sentences.ts';
import { toolsAddresses } from '../tools-addresses.ts';
import { ToolsPage } from '../ToolsPage.tsx';
import { type Catalogue, useCatalogue } from '../use-catalogue.ts';
import { ClaimChecksPanel } from './ClaimChecksPanel.tsx';
import { DetailsPanel } from './DetailsPanel.tsx';
import { HistoryPanel } from './HistoryPanel.tsx';
import { PhotosPanel } from './PhotosPanel.tsx';
import { RatingsPanel } from './RatingsPanel.tsx';

export function ToolPage({ toolId }: { readonly toolId: string }) {
  const { result, error } = useCatalogue();
  const tool = result?.tools.find(({ tool: { id } }) => id === toolId) ?? null;
  return (
    <ToolsPage
      title={tool?.tool.name ?? 'Tool'}
      actions={result === null || tool === null ? undefined : <ToolActions tool={tool} catalogue={result} />}
    >
      <FailureNotice error={error} />
      {result !== null && tool === null ? (
        <EmptyState
          title="No such tool"
          actions={<LinkButton href={toolsAddresses.list}>All tools</LinkButton>}
        >
          <p>Tools are archived or merged, never deleted; this address may belong to other data.</p>
        </EmptyState>
      ) : null}
      {result === null || tool === null ? null : <ToolView tool={tool} catalogue={result} />}
    </ToolsPage>
  );
}

interface ToolPartProps {
  readonly tool: CatalogueTool;
  readonly catalogue: Catalogue;
}

function ToolView({ tool, catalogue }: ToolPartProps) {
  const toolId = tool.tool.id;
  return (
    <>
      <ToolHead tool={tool} />
      <MergedNotices tool={tool} catalogue={catalogue} />
      {tool.mergedIntoToolId === null ? <ArchivedNotice tool={tool} /> : null}
      <div className="tool-columns">
        <div className="tool-column">
          <DetailsPanel draftKey={toolId} toolId={toolId} stored={tool} />
          <HistoryPanel toolId={toolId} />
        </div>
        <div className="tool-column">
          <PhotosPanel tool={tool} />
          <ClaimChecksPanel tool={tool} />
          <RatingsPanel tool={tool} agreement={catalogue.agreement} />
        </div>
      </div>
    </>
  );
}

function ToolHead({ tool }: { readonly tool: CatalogueTool }) {
  const { setupCount, trialCount, missing } = tool;
  const named = makerAndModel(tool);
  return (
    <div className="tool-head">
      <p>
        {named === '' || named === tool.tool.name ? '' : `${named}. `}
        {countWords(trialCount, 'trial', 'trials')}, {countWords(setupCount, 'setup', 'setups')}.
        {missing.length === 0 ? '' : ` Missing for standings: ${missing.join(', ')}.`}
      </p>
      <LinkButton href={runSheetAddresses.items} look="quiet">
        Packs and setups
      </LinkButton>
    </div>
  );
}

function ToolActions({ tool, catalogue }: ToolPartProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const { tool: ofBench, details } = tool;
  const archive = () =>
    run(() =>
      connection.request('saveCatalogueTool', {
        tool: { ...ofBench, isArchived: !ofBench.isArchived },
        details,
      }),
    );
  // Its notice has the way back, which puts it on the list again.
  if (tool.mergedIntoToolId !== null) return null;
  return (
    <>
      <FailureNotice error={error} />
      <MergeAction tool={tool} catalogue={catalogue} />
      {/* One button for both ways, so that the focus stays on it. */}
      <Button isPending={isBusy} onPress={() => void archive()}>
        {ofBench.isArchived ? 'Put it back on the list' : 'Archive'}
      </Button>
    </>
  );
}

function ArchivedNotice({ tool }: { readonly tool: CatalogueTool }) {
  return tool.tool.isArchived ? (
    <Notice kind="information" live="status">
      Archived: it is offered for no new setup and listed on request only. Its trials, and the standings that
      hold it, stay as they are.
    </Notice>
  ) : null;
}
