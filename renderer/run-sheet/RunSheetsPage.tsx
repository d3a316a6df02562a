import { Link, useLocation } from 'wouter';
import type { RunSheetSummary } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { useConnection, useSettings } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { formatTrialTime } from '../ui/date-time.ts';
import { EmptyState } from '../ui/EmptyState.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { LinkButton } from '../ui/LinkButton.tsx';
import { ActionRow, Panel } from '../ui/Panel.tsx';
import { PreparationPage } from './PreparationPage.tsx';
import { runSheetAddresses, sheetAddress } from './run-sheet-addresses.ts';
import { progressWords } from './run-sheet-sentences.ts';

/** All run sheets: those that wait to be gone on with, then those that are over. */
export function RunSheetsPage() {
  const { result, error } = useRequest('listRunSheets', {}, 'runSheetsChanged');
  const openSheets = result?.runSheets.filter(({ closedAt }) => closedAt === null) ?? [];
  const closedSheets = result?.runSheets.filter(({ closedAt }) => closedAt !== null) ?? [];
  return (
    <PreparationPage
      title="Run sheets"
      isList
      actions={
        <>
          <LinkButton href={runSheetAddresses.items} look="quiet">
            Tools, packs and setups
          </LinkButton>
          <LinkButton href={runSheetAddresses.plans} look="quiet">
            Plans
          </LinkButton>
          {result === null || result.runSheets.length === 0 ? null : (
            <LinkButton href={runSheetAddresses.newSheet} look="primary">
              Make a run sheet
            </LinkButton>
          )}
        </>
      }
    >
      <FailureNotice error={error} />
      {result?.runSheets.length === 0 ? (
        <EmptyState
          title="No run sheet yet"
          actions={
            <LinkButton href={runSheetAddresses.newSheet} look="primary">
              Make a run sheet
            </LinkButton>
          }
        >
          <p>
            A run sheet gives every tool the same fair trial: which setup is pulled when, how often, with
            which rest, in an order that a drift of the day cannot favour. On the Bench it then takes one
            press per pull.
          </p>
        </EmptyState>
      ) : null}
      {openSheets.length === 0 ? null : (
        <Panel title="To be gone on with">
          <SheetList label="To be gone on with" sheets={openSheets} />
        </Panel>
      )}
      {closedSheets.length === 0 ? null : (
        <Panel title="Over">
          <SheetList label="Over" sheets={closedSheets} />
        </Panel>
      )}
    </PreparationPage>
  );
}

function SheetList({
  label,
  sheets,
}: {
  readonly label: string;
  readonly sheets: readonly RunSheetSummary[];
}) {
  return (
    <ul className="sheet-list" aria-label={label}>
      {sheets.map((sheet) => (
        <li key={sheet.id} className="sheet-row">
          <div className="sheet-row-text">
            <Link href={sheetAddress(sheet.id)} className="sheet-link">
              {sheet.name}
            </Link>
            <span className="sheet-soft">
              {progressWords(sheet)}; {sheet.setupCount === 1 ? '1 setup' : `${sheet.setupCount} setups`};
              made {formatTrialTime(sheet.createdAt)}
            </span>
          </div>
          {sheet.closedAt === null ? <OpenButton runSheetId={sheet.id} name={sheet.name} /> : null}
        </li>
      ))}
    </ul>
  );
}

/** Puts a sheet on the bench and goes there. */
export function OpenButton({ runSheetId, name }: { readonly runSheetId: string; readonly name: string }) {
  const connection = useConnection();
  const [, navigate] = useLocation();
  const isOnBench = useSettings()?.runSheetId === runSheetId;
  const { run, isBusy, error } = useAction();
  const open = async () => {
    if (await run(() => connection.request('openRunSheet', { runSheetId }))) navigate('/bench');
  };
  return (
    <ActionRow>
      <FailureNotice error={error} />
      <Button
        isPending={isBusy}
        aria-label={isOnBench ? `Go on with ${name} on the Bench` : `Put ${name} on the bench`}
        onPress={() => void open()}
      >
        {isOnBench ? 'Go on on the Bench' : 'Put it on the bench'}
      </Button>
    </ActionRow>
  );
}
