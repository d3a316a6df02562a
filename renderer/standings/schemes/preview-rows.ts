import type { Standings, StandingsChange } from '../../../shared-lib/standings/standings-model.ts';
import { shortLabelsOf } from '../../../shared-lib/standings/words/place-sentences.ts';
import { moveArrows, moveOf, moveWords } from '../editions/change-sentences.ts';

/** The order under rules that are not stored, beside the one that is. */
export interface PreviewRow {
  readonly key: string;
  readonly place: number | null;
  readonly label: string;
  readonly total: number | null;
  readonly arrow: string;
  readonly move: string;
  readonly isMoving: boolean;
}

/** Those that are not ranked before and after are left to the table itself. */
export function previewRows(standings: Standings, changes: readonly StandingsChange[]): PreviewRow[] {
  const changeOf = new Map(changes.map((change) => [change.key, change]));
  const labelOf = shortLabelsOf(standings);
  const row = (key: string, place: number | null, total: number | null): PreviewRow => {
    const move = changeOf.get(key) ?? { fromPlace: place, toPlace: place };
    return {
      key,
      place,
      label: labelOf(key),
      total,
      arrow: moveArrows[moveOf(move)],
      move: moveWords(move),
      isMoving: move.fromPlace !== move.toPlace,
    };
  };
  return [
    ...standings.rows.map(({ contender, place, total }) => row(contender.key, place, total)),
    ...standings.notRanked
      .map(({ contender }) => row(contender.key, null, null))
      .filter(({ isMoving }) => isMoving),
  ];
}

/** "2 tools move up, 1 moves down." */
export function previewSentence(changes: readonly StandingsChange[]): string {
  const count = (wanted: ReturnType<typeof moveOf>) =>
    changes.filter((change) => moveOf(change) === wanted).length;
  const parts = [
    part(count('up'), 'moves up', 'move up'),
    part(count('down'), 'moves down', 'move down'),
    part(count('enters'), 'comes in', 'come in'),
    part(count('leaves'), 'is not ranked any more', 'are not ranked any more'),
  ].filter((words) => words !== '');
  const [first, ...others] = parts;
  if (first === undefined) {
    return changes.length === 0
      ? 'With these rules nothing moves: every figure is as it is now.'
      : 'With these rules nobody changes place; points are other.';
  }
  return `With these rules ${[withTools(first), ...others].join(', ')}.`;
}

function part(count: number, one: string, many: string): string {
  if (count === 0) return '';
  return count === 1 ? `1 ${one}` : `${count} ${many}`;
}

/** "2 move up" to "2 tools move up". */
function withTools(words: string): string {
  return words.replace(/^(\d+) /, (_, count: string) => `${count} ${count === '1' ? 'tool' : 'tools'} `);
}
