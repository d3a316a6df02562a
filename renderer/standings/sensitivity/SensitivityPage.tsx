import type { Sensitivity, Standings } from '../../../shared-lib/standings/standings-model.ts';
import '../../calibrate/figure-table.css';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Page, Panel } from '../../ui/Panel.tsx';
import { BackToTable } from '../StandingsNav.tsx';
import { listWords, shortLabelsOf } from '../../../shared-lib/standings/words/place-sentences.ts';
import { useStandingsRequest } from '../use-standings-request.ts';
import { Waiting } from '../Waiting.tsx';
import { roomOf } from './factor-scale.ts';
import { FactorPicture } from './FactorPicture.tsx';
import {
  boundsWords,
  factorWords,
  movesWords,
  orderSentence,
  sharesInOrder,
  shareWords,
} from './sensitivity-sentences.ts';

/** How firm the order is against other factors than those that were chosen. */
export function SensitivityPage({ tableId }: { readonly tableId: string }) {
  const table = useStandingsRequest('getStandings', { tableId });
  const standings = table.result;
  const isEnough = standings !== null && standings.rows.length > 1;
  const { result, error, isLoading } = useStandingsRequest('getSensitivity', isEnough ? { tableId } : null);
  return (
    <Page
      title={
        standings === null ? 'How firm is the order?' : `How firm is the order of ${standings.table.name}?`
      }
      actions={<BackToTable tableId={tableId} />}
    >
      <FailureNotice error={table.error ?? error} />
      <Waiting isLoading={table.isLoading || isLoading}>Other factors are being tried.</Waiting>
      {standings !== null && !isEnough ? (
        <p>
          It takes at least two ranked tools. There {standings.rows.length === 1 ? 'is one' : 'are none'} so
          far.
        </p>
      ) : null}
      {standings === null || result === null ? null : (
        <SensitivityView standings={standings} sensitivity={result} />
      )}
    </Page>
  );
}

interface SensitivityViewProps {
  readonly standings: Standings;
  readonly sensitivity: Sensitivity;
}

function SensitivityView({ standings, sensitivity }: SensitivityViewProps) {
  const labelOf = shortLabelsOf(standings);
  const termLabels = new Map(standings.scheme.terms.map(({ id, label }) => [id, label]));
  const termLabel = (termId: string) => termLabels.get(termId) ?? 'a term';
  const first = listWords(
    standings.rows.filter(({ place }) => place === 1).map(({ contender }) => labelOf(contender.key)),
  );
  const terms = sensitivity.terms.toSorted((a, b) => roomOf(a) - roomOf(b));
  return (
    <>
      {terms.length === 0 ? null : (
        <Panel
          title="How far each factor can go"
          lead="One factor is changed at a time, the others stay. The term that the order is touchiest to stands first."
        >
          <FactorPicture
            terms={terms}
            labelOf={termLabel}
            summary={terms.map((term) => `${termLabel(term.termId)}: ${orderSentence(term)}`).join(' ')}
          />
          <TermTable terms={terms} termLabel={termLabel} first={first} labelOf={labelOf} />
        </Panel>
      )}
      {sensitivity.firstShares.length === 0 ? null : (
        <FirstShares sensitivity={sensitivity} labelOf={labelOf} />
      )}
      {sensitivity.sentences.length === 0 ? null : (
        <Panel title="In words">
          <ul className="standings-sentences">
            {sensitivity.sentences.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        </Panel>
      )}
    </>
  );
}

interface TermTableProps {
  readonly terms: Sensitivity['terms'];
  readonly termLabel: (termId: string) => string;
  readonly first: string;
  readonly labelOf: (key: string) => string;
}

/** The picture again, in words. */
function TermTable({ terms, termLabel, first, labelOf }: TermTableProps) {
  return (
    <div className="figure-table-frame" role="region" aria-label="Term by term" tabIndex={0}>
      <table className="figure-table factor-table">
        <caption className="visually-hidden">What each factor decides</caption>
        <thead>
          <tr>
            <th scope="col">Term</th>
            <th scope="col" className="figure-table-number">
              Factor
            </th>
            <th scope="col">The order stays</th>
            <th scope="col">{first} stays first</th>
            <th scope="col">Without it</th>
            <th scope="col">With twice the factor</th>
          </tr>
        </thead>
        <tbody>
          {terms.map((term) => (
            <tr key={term.termId}>
              <th scope="row">{termLabel(term.termId)}</th>
              <td className="figure-table-number">{factorWords(term.factor)}</td>
              <td>{boundsWords(term.orderKeptFrom, term.orderKeptTo)}</td>
              <td>{boundsWords(term.leaderKeptFrom, term.leaderKeptTo)}</td>
              <td>{movesWords(term.without, labelOf)}</td>
              <td>{movesWords(term.doubled, labelOf)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

const BAR_UNITS = 100;

function FirstShares({
  sensitivity: { firstShares, weightingCount, seed },
  labelOf,
}: Pick<SensitivityViewProps, 'sensitivity'> & { readonly labelOf: (key: string) => string }) {
  const { first, neverKeys } = sharesInOrder(firstShares);
  return (
    <Panel
      title="Who comes first whatever the weights"
      lead={`Of ${weightingCount} random weightings of the terms, all as likely (seed ${seed}): how many put whom first.`}
    >
      <ul className="first-shares" aria-label="Share of weightings in which each comes first">
        {first.map(({ key, share }) => (
          <li key={key} className="first-share">
            <span>{labelOf(key)}</span>
            <svg viewBox={`0 0 ${BAR_UNITS} 10`} preserveAspectRatio="none" aria-hidden="true">
              <rect className="first-share-ground" width={BAR_UNITS} height="10" />
              <rect className="first-share-bar" width={share * BAR_UNITS} height="10" />
            </svg>
            <strong>{shareWords(share)}</strong>
          </li>
        ))}
      </ul>
      {neverKeys.length === 0 ? null : (
        <p className="standings-soft">Never first: {listWords(neverKeys.map(labelOf))}.</p>
      )}
    </Panel>
  );
}
