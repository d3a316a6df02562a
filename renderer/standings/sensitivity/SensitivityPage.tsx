import type { Sensitivity, Standings } from '../../../shared-lib/standings/standings-model.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Page, Panel } from '../../ui/Panel.tsx';
import { BackToTable } from '../StandingsNav.tsx';
import { labelsOf, listWords } from '../table/place-sentences.ts';
import { useStandingsRequest } from '../use-standings-request.ts';
import { Waiting } from '../Waiting.tsx';
import { roomOf } from './factor-scale.ts';
import { FactorPicture } from './FactorPicture.tsx';
import {
  leaderSentence,
  movesSentence,
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
  const labelOf = labelsOf(standings);
  const termLabels = new Map(standings.scheme.terms.map(({ id, label }) => [id, label]));
  const termLabel = (termId: string) => termLabels.get(termId) ?? 'a term';
  const first = listWords(
    standings.rows.filter(({ place }) => place === 1).map(({ contender }) => contender.label),
  );
  const terms = sensitivity.terms.toSorted((a, b) => roomOf(a) - roomOf(b));
  return (
    <>
      {sensitivity.sentences.length === 0 ? null : (
        <ul className="standings-sentences">
          {sensitivity.sentences.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      )}
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
          <ul className="standings-list" aria-label="Term by term">
            {terms.map((term) => (
              <li key={term.termId} className="standings-item">
                <h3>{termLabel(term.termId)}</h3>
                <ul className="standings-sentences">
                  <li>{orderSentence(term)}</li>
                  <li>{leaderSentence(term, first)}</li>
                  <li>{movesSentence('Without it', term.without, labelOf)}</li>
                  <li>{movesSentence('With twice the factor', term.doubled, labelOf)}</li>
                </ul>
              </li>
            ))}
          </ul>
        </Panel>
      )}
      {sensitivity.firstShares.length === 0 ? null : (
        <FirstShares sensitivity={sensitivity} labelOf={labelOf} />
      )}
    </>
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
