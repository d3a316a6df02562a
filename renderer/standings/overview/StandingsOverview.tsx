import { Link } from 'wouter';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import type { Standings, StandingsTable } from '../../../shared-lib/standings/standings-model.ts';
import { useRequest } from '../../api-client/use-request.ts';
import '../../calibrate/figure-table.css';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Page, Panel } from '../../ui/Panel.tsx';
import { decidingTermId } from '../cell/deciding-term.ts';
import { cellAddress, newTableAddress, standingsRoutes, tableAddress } from '../standings-addresses.ts';
import { PlaceLinks } from '../StandingsNav.tsx';
import { countWords, shortLabelsOf } from '../../../shared-lib/standings/words/place-sentences.ts';
import { TablePage } from '../table/TablePage.tsx';
import { pointDecimals } from '../../../shared-lib/standings/words/point-decimals.ts';
import { useStandingsRequest } from '../use-standings-request.ts';
import { Waiting } from '../Waiting.tsx';
import { restsOnWords, takesInWords } from '../../../shared-lib/standings/words/table-sentences.ts';

/** All tables side by side; where there is one, it stands here itself, so that no press is spent on choosing it. */
export function StandingsOverview() {
  const { result, error, isLoading } = useRequest('listStandingsTables', {}, 'standingsChanged');
  const [first, ...others] = result?.tables ?? [];
  if (first !== undefined && others.length === 0) return <TablePage tableId={first.id} />;
  return (
    <Page title="Standings" actions={first === undefined ? null : <PlaceLinks isOnly />}>
      <FailureNotice error={error} />
      {result === null ? (
        <Waiting isLoading={isLoading}>The tables are being looked up.</Waiting>
      ) : first === undefined ? (
        <NoTables />
      ) : (
        <div className="standings-cards">
          {result.tables.map((table) => (
            <TableCard key={table.id} table={table} />
          ))}
        </div>
      )}
    </Page>
  );
}

function NoTables() {
  return (
    <EmptyState
      title="No standings yet"
      actions={
        <>
          <LinkButton href={newTableAddress()} look="primary">
            Make a table
          </LinkButton>
          <LinkButton href={standingsRoutes.schemes}>Look at the schemes</LinkButton>
        </>
      }
    >
      <p>
        Here tools will stand in order, with the points of each and all that is behind them. It takes two
        steps: a scheme, which says what brings how many points (ready-made ones are there), and a table,
        which says whom it takes in.
      </p>
      <p>
        The figures come from trials of the <Link href="/bench">Bench</Link>; class, masses, prices and claims
        from <Link href="/tools">Tools</Link>.
      </p>
    </EmptyState>
  );
}

const ROWS_ON_CARD = 5;

/** The first places of a table; all of it is one press away. */
function TableCard({ table }: { readonly table: StandingsTable }) {
  const { result, error, isLoading } = useStandingsRequest('getStandings', { tableId: table.id });
  return (
    <Panel
      title={table.name}
      lead={takesInWords(table)}
      actions={<LinkButton href={tableAddress(table.id)}>Open {table.name}</LinkButton>}
    >
      <FailureNotice error={error} />
      <Waiting isLoading={isLoading && result === null}>The table is being computed.</Waiting>
      {result === null ? null : (
        <>
          {result.rows.length === 0 ? <p>Nobody can be ranked yet.</p> : <FirstPlaces standings={result} />}
          <p className="standings-soft">
            {countWords(result)}. {restsOnWords(result)}
          </p>
        </>
      )}
    </Panel>
  );
}

/** A name opens what decides its place, so that "why is it there?" is one press away from here too. */
function FirstPlaces({ standings }: { readonly standings: Standings }) {
  const { rows, table } = standings;
  const [first] = rows;
  const shown = rows.slice(0, ROWS_ON_CARD);
  const decimals = pointDecimals(shown.map(({ total }) => total));
  const labelOf = shortLabelsOf(standings);
  if (first === undefined) return null;
  return (
    <table className="figure-table">
      <caption className="visually-hidden">First places of {table.name}</caption>
      <thead>
        <tr>
          <th scope="col">Place</th>
          <th scope="col">Tool</th>
          <th scope="col" className="figure-table-number">
            Total
          </th>
        </tr>
      </thead>
      <tbody>
        {shown.map((row) => {
          const { key } = row.contender;
          const termId = decidingTermId(row, first);
          return (
            <tr key={key}>
              <td>{row.place}</td>
              <th scope="row">
                {termId === null ? (
                  labelOf(key)
                ) : (
                  <Link
                    className="cell-trial-link"
                    href={cellAddress({ tableId: table.id, key, termId, editionId: null })}
                  >
                    {labelOf(key)}
                  </Link>
                )}
              </th>
              <td className="figure-table-number">{formatNumber(row.total, decimals)}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
