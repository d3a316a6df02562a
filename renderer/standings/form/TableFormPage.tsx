import { useState } from 'react';
import { useLocation, useSearchParams } from 'wouter';
import type { StandingsTable } from '../../../shared-lib/standings/standings-model.ts';
import { useConnection, useSettings } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Page, Panel } from '../../ui/Panel.tsx';
import { standingsRoutes, tableAddress } from '../standings-addresses.ts';
import { PlaceLinks } from '../StandingsNav.tsx';
import { Waiting } from '../Waiting.tsx';
import { changedTableForm, emptyTableForm, readTableForm, tableForm, type TableForm } from './table-form.ts';
import { TableFields } from './TableFields.tsx';

/** A new table. It begins with the trials that there are: simulated ones while there are no real ones. */
export function NewTablePage() {
  const [params] = useSearchParams();
  const settings = useSettings();
  const contenders = useRequest('listContenders', {});
  const schemes = useRequest('listSchemes', {}, 'standingsChanged');
  const isReady =
    settings !== null && schemes.result !== null && !(contenders.isLoading && contenders.result === null);
  const hasReal = contenders.result?.contenders.some(({ isSimulated }) => !isSimulated) ?? true;
  return (
    <Page title="New table" actions={<PlaceLinks isOnly={false} />}>
      <FailureNotice error={schemes.error} />
      <Waiting isLoading={!isReady}>The schemes are being looked up.</Waiting>
      {isReady ? (
        <FormWithActions
          tableId={null}
          start={emptyTableForm({
            schemeId: params.get('scheme') ?? schemes.result.schemes[0]?.schemeId ?? null,
            isSimulated: !hasReal && (contenders.result?.contenders.length ?? 0) > 0,
            gate: settings.qualityGate,
            currency: settings.currency,
          })}
        />
      ) : null}
    </Page>
  );
}

export function ChangeTablePage({ tableId }: { readonly tableId: string }) {
  const { result, error, isLoading } = useRequest('listStandingsTables', {});
  const table = result?.tables.find(({ id }) => id === tableId);
  return (
    <Page
      title={table === undefined ? 'Change a table' : `Change ${table.name}`}
      actions={
        <LinkButton href={tableAddress(tableId)} look="quiet">
          Back to the table
        </LinkButton>
      }
    >
      <FailureNotice error={error} />
      <Waiting isLoading={isLoading && result === null}>The table is being looked up.</Waiting>
      {table === undefined ? null : (
        <>
          <FormWithActions tableId={tableId} start={tableForm(table)} />
          <PutAway table={table} />
        </>
      )}
      {result !== null && table === undefined ? (
        <EmptyState
          title="No such table"
          actions={<LinkButton href={standingsRoutes.overview}>All tables</LinkButton>}
        >
          <p>It is not among the tables in use.</p>
        </EmptyState>
      ) : null}
    </Page>
  );
}

function FormWithActions({ tableId, start }: { readonly tableId: string | null; readonly start: TableForm }) {
  const connection = useConnection();
  const [, navigate] = useLocation();
  const { run, isBusy, error } = useAction();
  const [form, setForm] = useState(start);
  const [newId] = useState(() => crypto.randomUUID());
  const { result } = useRequest('listSchemes', {}, 'standingsChanged');
  const schemes = (result?.schemes ?? []).filter(
    ({ schemeId }) => schemeId === start.schemeId || result?.archivedIds.includes(schemeId) !== true,
  );
  const reading = readTableForm(form, tableId ?? newId);
  const save = async () => {
    if ('missing' in reading) return;
    const table = reading.value;
    if (await run(() => connection.request('saveStandingsTable', { table })))
      navigate(tableAddress(table.id));
  };
  return (
    <>
      <TableFields
        form={form}
        schemes={schemes}
        onChange={(part) => setForm((before) => changedTableForm(before, part))}
      />
      <ActionRow>
        <Button
          look="primary"
          isDisabled={'missing' in reading}
          isPending={isBusy}
          onPress={() => void save()}
        >
          {tableId === null ? 'Make this table' : 'Keep these changes'}
        </Button>
        <span role="status" className="standings-soft">
          {'missing' in reading ? `Still needed: ${reading.missing.join(', ')}.` : ''}
        </span>
      </ActionRow>
      <FailureNotice error={error} />
    </>
  );
}

/** Off the list, with its editions kept; taken back by one press. */
function PutAway({ table }: { readonly table: StandingsTable }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [isAway, setIsAway] = useState(false);
  const put = (isArchived: boolean) =>
    void run(async () => {
      await connection.request('saveStandingsTable', { table: { ...table, isArchived } });
      setIsAway(isArchived);
    });
  return (
    <Panel
      title="No longer needed?"
      lead="It leaves the list of tables. Its editions are kept, and trials, tools and rules stay as they are."
    >
      {isAway ? (
        <Notice
          kind="information"
          live="status"
          actions={
            <>
              <Button isPending={isBusy} onPress={() => put(false)}>
                Undo
              </Button>
              <LinkButton href={standingsRoutes.overview}>All tables</LinkButton>
            </>
          }
        >
          “{table.name}” is off the list.
        </Notice>
      ) : (
        <ActionRow>
          <Button isPending={isBusy} onPress={() => put(true)}>
            Put this table away
          </Button>
        </ActionRow>
      )}
      <FailureNotice error={error} />
    </Panel>
  );
}
