import type { StandingsChange } from '../../../shared-lib/standings/standings-model.ts';
import { withStop } from '../cell/cell-sentences.ts';
import {
  cellChangeWords,
  inOrderOfInterest,
  moveArrows,
  moveOf,
  moveWords,
  totalWords,
} from './change-sentences.ts';

/** Who moved and why, each in sentences. */
export function ChangesList({ changes }: { readonly changes: readonly StandingsChange[] }) {
  return (
    <ul className="standings-list" aria-label="What is other, tool by tool">
      {inOrderOfInterest(changes).map((change) => {
        const total = totalWords(change);
        const { key, label, cells, because } = change;
        return (
          <li key={key} className="standings-item">
            <p>
              <span aria-hidden="true">{moveArrows[moveOf(change)]} </span>
              <strong>{label}</strong> {moveWords(change)}.{total === '' ? '' : ` ${total}`}
            </p>
            {cells.length + because.length === 0 ? null : (
              <ul className="standings-sentences">
                {cells.map((cell) => (
                  <li key={cell.termId}>
                    {cellChangeWords(cell)}
                    {cell.because.map((reason) => (
                      <span key={reason} className="change-reason">
                        {withStop(reason)}
                      </span>
                    ))}
                  </li>
                ))}
                {because.map((reason) => (
                  <li key={reason}>{withStop(reason)}</li>
                ))}
              </ul>
            )}
          </li>
        );
      })}
    </ul>
  );
}
