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
        const sentences = [
          totalWords(change),
          ...change.cells.map(cellChangeWords),
          ...change.because.map(withStop),
        ].filter((sentence) => sentence !== '');
        return (
          <li key={change.key} className="standings-item">
            <p>
              <span aria-hidden="true">{moveArrows[moveOf(change)]} </span>
              <strong>{change.label}</strong> {moveWords(change)}.
            </p>
            {sentences.length === 0 ? null : (
              <ul className="standings-sentences">
                {sentences.map((sentence) => (
                  <li key={sentence}>{sentence}</li>
                ))}
              </ul>
            )}
          </li>
        );
      })}
    </ul>
  );
}
