import { useSearchParams } from 'wouter';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { runSheetAddresses } from '../../run-sheet/run-sheet-addresses.ts';
import { Button } from '../../ui/Button.tsx';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Page } from '../../ui/Panel.tsx';
import { saveFile } from '../../ui/save-file.ts';
import { TwinsNotice } from '../merge/TwinsNotice.tsx';
import { countWords } from '../tool-sentences.ts';
import { toolsAddresses } from '../tools-addresses.ts';
import { useFormUnits } from '../tool/use-form-units.ts';
import { type Catalogue, useCatalogue } from '../use-catalogue.ts';
import { DemoTools } from './DemoTools.tsx';
import { filterTools, isFiltered, isListed, toolFilter, withPart, withSort } from './tool-filter.ts';
import { ToolFilters } from './ToolFilters.tsx';
import { ToolTable } from './ToolTable.tsx';

export function ToolListPage() {
  const { result, error } = useCatalogue();
  const isEmpty = result?.tools.length === 0;
  return (
    <div className="tool-list">
      <Page title="Tools" actions={<ListActions isEmpty={isEmpty || result === null} />}>
        <FailureNotice error={error} />
        {isEmpty ? <NoToolsYet /> : null}
        {result === null || isEmpty ? null : <ToolList catalogue={result} />}
      </Page>
    </div>
  );
}

function ListActions({ isEmpty }: { readonly isEmpty: boolean }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const exportAll = () =>
    run(async () => {
      const { csv, fileName } = await connection.request('exportCatalogue', {});
      saveFile(fileName, 'text/csv;charset=utf-8', csv);
    });
  return (
    <>
      <FailureNotice error={error} />
      <LinkButton href={runSheetAddresses.items} look="quiet">
        Packs and setups
      </LinkButton>
      <LinkButton href={toolsAddresses.rates} look="quiet">
        Exchange rates
      </LinkButton>
      <LinkButton href={toolsAddresses.import} look="quiet">
        Import
      </LinkButton>
      {isEmpty ? null : (
        <>
          <Button look="quiet" isPending={isBusy} onPress={() => void exportAll()}>
            Export as CSV
          </Button>
          <LinkButton href={toolsAddresses.newTool} look="primary">
            New tool
          </LinkButton>
        </>
      )}
    </>
  );
}

function NoToolsYet() {
  return (
    <>
      <EmptyState
        title="No tool yet"
        actions={
          <>
            <LinkButton href={toolsAddresses.newTool} look="primary">
              Enter a tool
            </LinkButton>
            <LinkButton href={toolsAddresses.import}>Import a table</LinkButton>
          </>
        }
      >
        <p>
          Every tool will stand here with its maker, what is claimed of it, what it costs, how it feels in the
          hand, and what standings still lack of it. A name is enough to begin with.
        </p>
      </EmptyState>
      <DemoTools />
    </>
  );
}

function ToolList({ catalogue }: { readonly catalogue: Catalogue }) {
  const [params, setParams] = useSearchParams();
  const { currency } = useFormUnits();
  const filter = toolFilter(params);
  const tools = filterTools(catalogue.tools, filter, currency);
  const total = filter.isAllShown ? catalogue.tools.length : catalogue.tools.filter(isListed).length;
  const unlistedCount = catalogue.tools.filter((tool) => !isListed(tool)).length;
  const nameOf = (toolId: string) => catalogue.tools.find(({ tool }) => tool.id === toolId)?.tool.name ?? '?';
  return (
    <>
      <TwinsNotice catalogue={catalogue} />
      <ToolFilters
        filter={filter}
        unlistedCount={unlistedCount}
        onChange={(name, value, isTyping) =>
          setParams((before) => withPart(before, name, value), { replace: isTyping })
        }
      />
      <p className="tool-count" role="status">
        {isFiltered(filter)
          ? `${tools.length} of ${countWords(total, 'tool', 'tools')}`
          : countWords(total, 'tool', 'tools')}
      </p>
      {tools.length === 0 ? (
        <EmptyState
          title={isFiltered(filter) ? 'Nothing matches' : 'No tool is listed'}
          actions={
            <Button onPress={() => setParams(isFiltered(filter) ? {} : { all: '1' })}>
              {isFiltered(filter) ? 'Show every tool' : 'Show archived and merged ones'}
            </Button>
          }
        >
          <p>
            {isFiltered(filter)
              ? 'No tool fits all of these filters.'
              : 'All entries are archived or merged. They can be put back from their pages.'}
          </p>
        </EmptyState>
      ) : (
        <ToolTable
          tools={tools}
          filter={filter}
          nameOf={nameOf}
          onSort={(key) => setParams((before) => withSort(before, filter, key), { replace: true })}
        />
      )}
      <p className="tool-soft">
        Handling is a judgement of those who held the tool, not a measurement.
        {filter.sort === 'price' ? ` By price, tools without a price in ${currency} come last.` : ''}
      </p>
    </>
  );
}
