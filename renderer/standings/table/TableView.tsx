import type { PlaceRanges, Standings } from '../../../shared-lib/standings/standings-model.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { CautionList } from '../CautionList.tsx';
import { changeAddress } from '../standings-addresses.ts';
import { useStandingsRequest } from '../use-standings-request.ts';
import { restsOnWords, takesInWords } from '../../../shared-lib/standings/words/table-sentences.ts';
import { lookSentence, type LookChanges } from './last-look.ts';
import {
  countWords,
  neighbourWords,
  rangesWords,
  shortLabelsOf,
} from '../../../shared-lib/standings/words/place-sentences.ts';
import { NotRankedList } from './NotRankedList.tsx';
import { StandingsTable } from './StandingsTable.tsx';
import { useLastLook } from './use-last-look.ts';

/** A table as it is now; the ranges of its places come when they have been drawn. */
export function LiveTable({ standings }: { readonly standings: Standings }) {
  const tableId = standings.table.id;
  const { result, error, isLoading } = useStandingsRequest(
    'getPlaceRanges',
    standings.rows.length === 0 ? null : { tableId },
  );
  const look = useLastLook(standings);
  return (
    <>
      <div role="status" className="standings-live">
        {look.changes === null ? null : (
          <Notice kind="information" actions={<Button onPress={look.takeAsSeen}>I have seen these</Button>}>
            {lookSentence(look.changes, formatDateTime(look.at))}
          </Notice>
        )}
      </div>
      <TableView
        standings={standings}
        ranges={isLoading ? null : result}
        rangesWords={rangesWords(result, isLoading)}
        editionId={null}
        changes={look.changes}
      />
      <FailureNotice error={error} />
    </>
  );
}

interface TableViewProps {
  readonly standings: Standings;
  readonly ranges: PlaceRanges | null;
  readonly rangesWords: string;
  readonly editionId: string | null;
  readonly changes: LookChanges | null;
}

/** Cautions, the places, who is not told apart from whom, and those that are not ranked. */
export function TableView({ standings, ranges, rangesWords: progress, editionId, changes }: TableViewProps) {
  const { rows, notRanked, cautions } = standings;
  return (
    <>
      <CautionList cautions={cautions} />
      {rows.length === 0 ? (
        <NobodyRanked standings={standings} />
      ) : (
        <Panel title={countWords(standings)} lead={takesInWords(standings.table)}>
          <StandingsTable standings={standings} ranges={ranges} editionId={editionId} changes={changes} />
          <p className="standings-soft standings-wide-text">{restsOnWords(standings)}</p>
          <p className="standings-status standings-wide-text" role="status">
            {progress}
          </p>
          {ranges === null ? null : <RangesNotes standings={standings} ranges={ranges} />}
        </Panel>
      )}
      {notRanked.length === 0 ? null : (
        <Panel title="Not ranked" lead="They take no place until what is named here is there or put right.">
          <NotRankedList standings={standings} editionId={editionId} />
        </Panel>
      )}
    </>
  );
}

function RangesNotes({ standings, ranges }: { readonly standings: Standings; readonly ranges: PlaceRanges }) {
  const labelOf = shortLabelsOf(standings);
  const sentences = ranges.ranges.flatMap((range) => {
    const words = neighbourWords(range, labelOf, Number.POSITIVE_INFINITY);
    return words === '' ? [] : [`${labelOf(range.key)}: ${words}.`];
  });
  const all = [...ranges.sentences, ...sentences];
  if (all.length === 0) return null;
  return (
    <details className="standings-details">
      <summary>How far the places are known</summary>
      <ul className="standings-sentences">
        {all.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
    </details>
  );
}

function NobodyRanked({ standings: { table, notRanked } }: { readonly standings: Standings }) {
  return (
    <EmptyState
      title={notRanked.length === 0 ? 'Nobody is in this table yet' : 'Nobody can be ranked yet'}
      actions={
        <>
          <LinkButton href="/bench" look="primary">
            Go to the Bench
          </LinkButton>
          <LinkButton href={changeAddress(table.id)}>Change whom it takes in</LinkButton>
        </>
      }
    >
      <p>
        {takesInWords(table)}: tools of this kind stand here with their places as soon as they have trials of
        the steps that the rules ask for, and the class, masses and prices that Tools knows of them.
        {notRanked.length === 0 ? '' : ' What each of them lacks is listed below.'}
      </p>
    </EmptyState>
  );
}
