import { useRequest } from '../../api-client/use-request.ts';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { ActionRow, Page } from '../../ui/Panel.tsx';
import { standingsRoutes } from '../standings-addresses.ts';
import { PlaceLinks, TableLinks } from '../StandingsNav.tsx';
import { useStandingsRequest } from '../use-standings-request.ts';
import { Waiting } from '../Waiting.tsx';
import { LiveTable } from './TableView.tsx';

/** One table of standings. */
export function TablePage({ tableId }: { readonly tableId: string }) {
  const { result, error, isLoading } = useStandingsRequest('getStandings', { tableId });
  const tables = useRequest('listStandingsTables', {}, 'standingsChanged').result?.tables;
  const standings = result?.table.id === tableId ? result : null;
  const isGone = error?.code === 'standings-not-found' && standings === null;
  return (
    <Page
      title={standings?.table.name ?? 'Standings'}
      actions={<PlaceLinks isOnly={tables?.length === 1 && tables[0]?.id === tableId} />}
    >
      {standings === null ? null : (
        <ActionRow>
          <TableLinks tableId={tableId} schemeId={standings.scheme.schemeId} />
        </ActionRow>
      )}
      <FailureNotice error={isGone ? null : error} />
      {standings === null ? (
        <Waiting isLoading={isLoading}>The table is being computed.</Waiting>
      ) : (
        <LiveTable key={tableId} standings={standings} />
      )}
      {isGone ? (
        <EmptyState
          title="No such table"
          actions={<LinkButton href={standingsRoutes.overview}>All tables</LinkButton>}
        >
          <p>It may have been made in other data than these, or the address is not whole.</p>
        </EmptyState>
      ) : null}
    </Page>
  );
}
