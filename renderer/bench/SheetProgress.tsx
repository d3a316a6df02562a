import type { SheetOnBench } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { describeProgress, describeRound } from './sheet-sentences.ts';
import './sheet-progress.css';

/** How far the sheet is, in words and as a band. */
export function SheetProgress({ sheet }: { readonly sheet: SheetOnBench }) {
  const { doneCount, skippedCount, totalCount } = sheet;
  const share = (count: number): string => `${totalCount === 0 ? 0 : (count / totalCount) * 100}%`;
  return (
    <div className="sheet-progress" role="group" aria-label="Run sheet">
      <p className="sheet-progress-round">{describeRound(sheet)}</p>
      <div className="sheet-progress-band" aria-hidden="true">
        <div className="sheet-progress-done" style={{ width: share(doneCount) }} />
        <div className="sheet-progress-skipped" style={{ width: share(skippedCount) }} />
      </div>
      <p className="sheet-progress-words">
        {describeProgress(sheet)} · {sheet.name}
      </p>
    </div>
  );
}
