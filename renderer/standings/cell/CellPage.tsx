import { useSearchParams } from 'wouter';
import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { Standings } from '../../../shared-lib/standings/standings-model.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Page, Panel } from '../../ui/Panel.tsx';
import { editionAddress } from '../standings-addresses.ts';
import { BackToTable } from '../StandingsNav.tsx';
import { labelsOf } from '../../../shared-lib/standings/words/place-sentences.ts';
import { type TermColumn, termColumns } from '../table/table-rows.ts';
import { useQuantityContext } from '../use-measure-words.ts';
import { useStandingsRequest } from '../use-standings-request.ts';
import { Waiting } from '../Waiting.tsx';
import { type MeasureQuantity, type QuantityContext, quantityOf } from '../words/measure-quantity.ts';
import { cellSentence, trialCountWords } from './cell-sentences.ts';
import { CellTrials } from './CellTrials.tsx';
import { TotalPanel } from './TotalPanel.tsx';

interface CellPageProps {
  readonly tableId: string;
  readonly contenderKey: string;
  readonly termId: string;
}

/** All that is behind one cell, down to the trials; as it is now, or as it was in an edition (`?edition=`). */
export function CellPage({ tableId, contenderKey: key, termId }: CellPageProps) {
  const [params] = useSearchParams();
  const editionId = params.get('edition');
  const { result, error, isLoading } = useStandingsRequest('getStandingsCell', {
    tableId,
    editionId,
    key,
    termId,
  });
  const live = useStandingsRequest('getStandings', editionId === null ? { tableId } : null);
  const edition = useRequest('getEdition', editionId === null ? null : { editionId });
  const standings = editionId === null ? live.result : (edition.result?.standings ?? null);
  const term = standings?.scheme.terms.find(({ id }) => id === termId);
  const title =
    standings === null || term === undefined
      ? 'Behind a figure'
      : `${term.label}: ${labelsOf(standings)(key)}`;
  return (
    <Page
      title={title}
      actions={
        editionId === null ? (
          <BackToTable tableId={tableId} />
        ) : (
          <LinkButton href={editionAddress(tableId, editionId)} look="quiet">
            Back to the edition
          </LinkButton>
        )
      }
    >
      {edition.result === null || editionId === null ? null : (
        <p>
          As it was frozen in the edition <strong>{edition.result.summary.name}</strong>.
        </p>
      )}
      <FailureNotice error={error} />
      <Waiting isLoading={isLoading && result === null}>What is behind it is being looked up.</Waiting>
      {result === null || standings === null ? null : (
        <CellView
          found={result}
          standings={standings}
          editionId={editionId}
          contenderKey={key}
          termId={termId}
        />
      )}
    </Page>
  );
}

interface CellViewProps extends Omit<CellPageProps, 'tableId'> {
  readonly found: RequestResult<'getStandingsCell'>;
  readonly standings: Standings;
  readonly editionId: string | null;
}

function CellView({ found, standings, editionId, contenderKey, termId }: CellViewProps) {
  const context = useQuantityContext(standings.table.currency);
  const column = termColumns(standings, context).find(({ term }) => term.id === termId);
  if (column === undefined) return <p>The rules have no such term any more.</p>;
  const { cell, steps, sources, trials } = found;
  return (
    <>
      <Panel title="From value to points">
        <p className="standings-figure">{cellSentence(cell, column.quantity, column.decimals)}</p>
        <ol className="standings-sentences" aria-label="Steps">
          {steps.map((step, index) => (
            <li key={`${index} ${step}`}>{step}</li>
          ))}
        </ol>
      </Panel>
      {sources.length === 0 ? null : (
        <Panel title="Where it comes from">
          <ul className="standings-sentences">
            {sources.map((source) => (
              <li key={source}>{source}</li>
            ))}
          </ul>
        </Panel>
      )}
      {trials.length === 0 ? null : (
        <Panel title="Trials" lead={`${trialCountWords(trials)} Each opens with its curve.`}>
          <CellTrials trials={trials} quantity={trialQuantity(column, context)} />
        </Panel>
      )}
      <TotalPanel standings={standings} contenderKey={contenderKey} termId={termId} editionId={editionId} />
    </>
  );
}

/** Behind a ratio stand trials of the torque alone. */
function trialQuantity({ term, quantity }: TermColumn, context: QuantityContext): MeasureQuantity {
  const { measure } = term;
  return measure.of === 'ratio'
    ? quantityOf({ of: 'trial', step: measure.step, measure: measure.measure }, context)
    : quantity;
}
