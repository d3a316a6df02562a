import { Link } from 'wouter';
import type { Cell, Standings } from '../../../shared-lib/standings/standings-model.ts';
import { cellAddress } from '../standings-addresses.ts';
import { useQuantityContext } from '../use-measure-words.ts';
import { classLabel, lowered } from '../../../shared-lib/standings/words/measure-words.ts';
import { formatValue } from '../words/measure-quantity.ts';
import { type TermColumn, termColumns } from './table-rows.ts';

interface NotRankedListProps {
  readonly standings: Standings;
  /** Null: as it is now. */
  readonly editionId: string | null;
}

/** Those without a place, each with all that keeps it out and with what is known of it all the same. */
export function NotRankedList({ standings, editionId }: NotRankedListProps) {
  const { table, notRanked } = standings;
  const columns = termColumns(standings, useQuantityContext(table.currency));
  return (
    <ul className="standings-list" aria-label="Not ranked">
      {notRanked.map(({ contender, toolClass, because, cells }) => {
        const known = columns.flatMap((column) => knownCell(column, cells));
        return (
          <li key={contender.key} className="standings-item">
            <p>
              <strong>{contender.label}</strong>
              {toolClass === null ? '' : `, ${lowered(classLabel(toolClass))}`}
            </p>
            <ul className="standings-sentences">
              {because.map((reason) => (
                <li key={reason}>{reason}</li>
              ))}
            </ul>
            {known.length === 0 ? null : (
              <p className="standings-soft">
                Known all the same:{' '}
                {known.map(({ termId, words }, index) => (
                  <span key={termId}>
                    {index === 0 ? '' : '; '}
                    <Link href={cellAddress({ tableId: table.id, key: contender.key, termId, editionId })}>
                      {words}
                      <span className="visually-hidden"> of {contender.label}</span>
                    </Link>
                  </span>
                ))}
              </p>
            )}
          </li>
        );
      })}
    </ul>
  );
}

/** Trials without a value are worth a look as well. */
function knownCell({ term, quantity, decimals }: TermColumn, cells: readonly Cell[]) {
  const cell = cells.find(({ termId }) => termId === term.id);
  if (cell === undefined || (cell.value === null && cell.count === 0)) return [];
  const value = cell.value === null ? 'no value' : formatValue(quantity, cell.value, decimals);
  return [{ termId: term.id, words: `${term.label} ${value}` }];
}
