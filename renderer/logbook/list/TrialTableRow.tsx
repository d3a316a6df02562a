import { Check, NotebookPen } from 'lucide-react';
import type { ReactNode } from 'react';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { formatTrialTime } from '../../ui/date-time.ts';
import { StateShape, type StateShapeName } from '../../ui/StateShape.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { suspicionWords } from '../../../shared-lib/trial/words/suspicion-words.ts';
import { setupWords } from '../../../shared-lib/trial/words/pull-words.ts';
import { type TrialRow, trialRow } from '../../../shared-lib/trial/words/trial-row.ts';
import { possibleDecisions } from '../../../shared-lib/trial/words/trial-sentences.ts';
import type { ColumnKey, TableLayout } from './table-columns.ts';

interface TrialTableRowProps {
  readonly id: string;
  readonly index: number;
  readonly startPx: number;
  /** Undefined until the piece of the list that it stands in has come. */
  readonly trial: TrialSummary | undefined;
  readonly layout: TableLayout;
  readonly isPicked: boolean;
  readonly isActive: boolean;
  readonly onOpen: () => void;
  readonly onPick: () => void;
}

export function TrialTableRow(props: TrialTableRowProps) {
  const { id, index, startPx, trial, layout, isPicked, isActive, onOpen, onPick } = props;
  const torque = useTorqueDisplay();
  const row = trial === undefined ? null : trialRow(trial, formatTrialTime, torque.formatNumber);
  return (
    <div
      id={id}
      role="row"
      aria-rowindex={index + 2}
      aria-selected={isPicked}
      className={rowClass(trial, isActive)}
      style={{
        transform: `translateY(${startPx}px)`,
        gridTemplateColumns: layout.gridTemplateColumns,
      }}
      onClick={onOpen}
    >
      <div
        role="gridcell"
        className="trial-table-pick"
        onClick={(event) => {
          event.stopPropagation();
          onPick();
        }}
      >
        <span className="trial-table-box">
          {isPicked ? <Check aria-label="picked" size={16} strokeWidth={3} /> : null}
        </span>
      </div>
      {layout.columns.map(({ key }) => (
        <div key={key} role="gridcell" className={`trial-table-${key}`}>
          {trial === undefined || row === null ? '' : cell(key, trial, row)}
        </div>
      ))}
    </div>
  );
}

function cell(key: ColumnKey, trial: TrialSummary, row: TrialRow): ReactNode {
  switch (key) {
    case 'tool':
      return (
        <span title={[row.tool, setupWords(trial.setup)].filter((part) => part !== '').join(', ')}>
          <strong>{row.tool}</strong>
          {row.setup === '' ? null : <span className="trial-table-soft">, {row.setup}</span>}
        </span>
      );
    case 'quality':
      return withShape(qualityShape(trial), row.quality);
    case 'state':
      return withShape(possibleDecisions(trial).includes('keep') ? 'caution' : null, row.state);
    case 'marks':
      return (
        <span title={row.marks}>
          {withShape(suspicionWords(trial.suspicion, formatTrialTime)?.shape ?? null, row.marks)}
        </span>
      );
    case 'tags':
      return (
        <span title={row.tags}>
          {trial.hasNote ? <NotebookPen aria-label="with a note" size={16} /> : null}
          {trial.tags.map((tag) => (
            <span key={tag} className="trial-tag">
              {tag}
            </span>
          ))}
        </span>
      );
    case 'step':
    case 'place':
      return <span title={row[key]}>{row[key]}</span>;
    case 'when':
    case 'sustained':
      return row[key];
  }
}

function withShape(shape: StateShapeName | null, words: string): ReactNode {
  return shape === null ? (
    words
  ) : (
    <>
      <StateShape shape={shape} />
      {words}
    </>
  );
}

function qualityShape({ qualityVerdict }: TrialSummary): StateShapeName | null {
  switch (qualityVerdict) {
    case 'look':
      return 'caution';
    case 'notUsable':
      return 'fault';
    case 'good':
    case null:
      return null;
  }
}

function rowClass(trial: TrialSummary | undefined, isActive: boolean): string {
  return [
    'trial-table-row trial-table-entry',
    trial?.isVoided === true ? 'trial-table-voided' : '',
    isActive ? 'trial-table-active' : '',
  ].join(' ');
}
