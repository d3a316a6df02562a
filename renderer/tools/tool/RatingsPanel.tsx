import { useState } from 'react';
import type {
  CatalogueTool,
  HandlingRating,
  RaterAgreement,
} from '../../../shared-lib/catalogue/catalogue-model.ts';
import { useConnection, useSettings } from '../../api-client/ConnectionContext.tsx';
import { ReasonDialog } from '../../bench/ReasonDialog.tsx';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { handlingWords, scoreWords, withdrawalWords } from '../tool-sentences.ts';
import { RateForm } from './RateForm.tsx';
import { ScaleWords } from './ScaleWords.tsx';

const usualReasons = ['Given for another tool', 'Entered under a wrong name', 'The rater takes it back'];

interface RatingsPanelProps {
  readonly tool: CatalogueTool;
  readonly agreement: RaterAgreement;
}

/** How the tool feels in the hand: a judgement, and said to be one. */
export function RatingsPanel({ tool, agreement }: RatingsPanelProps) {
  const scale = useSettings()?.handlingScale ?? null;
  const { ratings } = tool;
  const words = handlingWords(ratings);
  return (
    <Panel
      title="Handling"
      lead="A judgement from 1 to 10 of those who held the tool, not a measurement."
      actions={
        <LinkButton href="/setup#tools" look="quiet">
          Words of the scale
        </LinkButton>
      }
    >
      {scale === null ? null : <ScaleWords scale={scale} />}
      {words === null ? (
        <p className="tool-soft">Nobody has rated it yet.</p>
      ) : (
        <>
          <p>
            <strong>Judgement: {words}.</strong>{' '}
            {ratings.length === 1 ? 'One rater alone says nothing of how far others would agree.' : ''}
          </p>
          <RatingTable ratings={ratings} />
        </>
      )}
      {agreement.raters.length === 0 ? null : <p className="tool-soft">{agreement.sentence}</p>}
      <RateForm tool={tool} />
    </Panel>
  );
}

function RatingTable({ ratings }: { readonly ratings: readonly HandlingRating[] }) {
  const connection = useConnection();
  const [withdrawing, setWithdrawing] = useState<HandlingRating | null>(null);
  return (
    <>
      <div className="figure-table-frame">
        <table className="figure-table" aria-label="Handling ratings">
          <thead>
            <tr>
              <th scope="col">Rater</th>
              <th scope="col" className="figure-table-number">
                Judgement
              </th>
              <th scope="col">Given</th>
              <th scope="col">
                <span className="visually-hidden">Actions</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {ratings.map((rating) => (
              <tr key={rating.id}>
                <th scope="row" className="tool-text">
                  {rating.rater}
                  {rating.note === '' ? null : <span className="tool-rating-note">{rating.note}</span>}
                </th>
                <td className="figure-table-number">{scoreWords(rating.score)}</td>
                <td className="tool-figures">
                  <span className="tool-line">{rating.isBlind ? 'blind' : 'not blind'}</span>
                  <span className="tool-line tool-soft">{formatDateTime(rating.at)}</span>
                </td>
                <td className="tool-line-actions">
                  <Button
                    look="quiet"
                    aria-label={`Withdraw the rating of ${rating.rater}`}
                    onPress={() => setWithdrawing(rating)}
                  >
                    Withdraw
                  </Button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {withdrawing === null ? null : (
        <ReasonDialog
          title="Withdraw this rating"
          lead={withdrawalWords(withdrawing)}
          usualReasons={usualReasons}
          ownWordsHelp="At least three characters. It is stored with the rating."
          actionLabel="Withdraw it"
          onDecide={(reason) => connection.request('withdrawRating', { ratingId: withdrawing.id, reason })}
          onClose={() => setWithdrawing(null)}
        />
      )}
    </>
  );
}
