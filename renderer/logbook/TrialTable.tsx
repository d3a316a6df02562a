import { useVirtualizer } from '@tanstack/react-virtual';
import { Check } from 'lucide-react';
import { type KeyboardEvent, useEffect, useId, useRef, useState } from 'react';
import { useLocation } from 'wouter';
import { formatTrialTime } from '../ui/date-time.ts';
import { StateShape } from '../ui/StateShape.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { suspicionWords } from './suspects/suspect-sentences.ts';
import { type TrialRow, trialRow } from './trial-rows.ts';
import { possibleDecisions } from './trial-sentences.ts';
import type { TrialPagesView } from './use-trial-pages.ts';

/** The height of a row in logbook.css. */
const ROW_PX = 40;
const PAGE_ROWS = 10;

interface TrialTableProps {
  readonly total: number;
  readonly pages: TrialPagesView;
  /** Ids of the trials that were picked out for something to be done with all of them. */
  readonly picked: ReadonlySet<string>;
  readonly onPick: (trialId: string) => void;
}

/** Newest first. One stop for the Tab key; arrows move, Enter opens a trial, Space picks it out of the list. */
export function TrialTable({ total, pages, picked, onPick }: TrialTableProps) {
  const torque = useTorqueDisplay();
  const [, navigate] = useLocation();
  const scrollRef = useRef<HTMLDivElement>(null);
  const [active, setActive] = useState(0);
  const tableId = useId();
  const virtualizer = useVirtualizer({
    count: total,
    getScrollElement: () => scrollRef.current,
    estimateSize: () => ROW_PX,
    overscan: 10,
  });
  const items = virtualizer.getVirtualItems();
  const first = items[0]?.index ?? 0;
  const last = items.at(-1)?.index ?? 0;
  const { show, trials } = pages;
  useEffect(() => show(first, last), [show, first, last]);

  const activeRow = Math.min(active, total - 1);
  const open = (index: number) => {
    const trial = trials.get(index);
    if (trial !== undefined) navigate(`/logbook/${trial.id}`);
  };
  const moveTo = (index: number) => {
    const next = Math.min(Math.max(index, 0), total - 1);
    setActive(next);
    virtualizer.scrollToIndex(next);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const target = keyTarget(event.key, activeRow, total);
    const trial = trials.get(activeRow);
    if (event.key === 'Enter') open(activeRow);
    else if (event.key === ' ') {
      if (trial !== undefined) onPick(trial.id);
    } else if (target !== null) moveTo(target);
    else return;
    event.preventDefault();
  };

  return (
    <div
      ref={scrollRef}
      className="trial-table"
      role="grid"
      aria-label="Trials, newest first. Enter opens a trial, Space picks it."
      aria-multiselectable
      aria-rowcount={total + 1}
      aria-colcount={columns.length + 1}
      aria-activedescendant={`${tableId}-${activeRow}`}
      tabIndex={0}
      onKeyDown={onKeyDown}
    >
      <div role="rowgroup" className="trial-table-head">
        <div role="row" aria-rowindex={1} className="trial-table-row">
          <div role="columnheader" className="trial-table-pick">
            <span className="visually-hidden">Picked</span>
          </div>
          {columns.map(({ key, title }) => (
            <div key={key} role="columnheader" className={`trial-table-${key}`}>
              {key === 'sustained' ? `${title}, ${torque.unitLabel}` : title}
            </div>
          ))}
        </div>
      </div>
      <div role="rowgroup" className="trial-table-body" style={{ height: virtualizer.getTotalSize() }}>
        {items.map(({ index, start }) => {
          const trial = trials.get(index);
          const row = trial && trialRow(trial, formatTrialTime, torque.formatNumber);
          return (
            <div
              key={index}
              id={`${tableId}-${index}`}
              role="row"
              aria-rowindex={index + 2}
              aria-selected={trial !== undefined && picked.has(trial.id)}
              className={rowClass(trial, index === activeRow)}
              style={{ transform: `translateY(${start}px)` }}
              onClick={() => {
                setActive(index);
                open(index);
              }}
            >
              <div
                role="gridcell"
                className="trial-table-pick"
                onClick={(event) => {
                  event.stopPropagation();
                  setActive(index);
                  if (trial !== undefined) onPick(trial.id);
                }}
              >
                <span className="trial-table-box">
                  {trial !== undefined && picked.has(trial.id) ? (
                    <Check aria-label="picked" size={16} strokeWidth={3} />
                  ) : null}
                </span>
              </div>
              {columns.map(({ key }) => (
                <div key={key} role="gridcell" className={`trial-table-${key}`}>
                  {key === 'state' && trial !== undefined && possibleDecisions(trial).includes('keep') ? (
                    <StateShape shape="caution" />
                  ) : null}
                  {key === 'check' && trial !== undefined ? <SuspicionShape trial={trial} /> : null}
                  {row?.[key] ?? ''}
                </div>
              ))}
            </div>
          );
        })}
      </div>
    </div>
  );
}

function rowClass(trial: TrialSummary | undefined, isActive: boolean): string {
  return [
    'trial-table-row trial-table-entry',
    trial?.isVoided === true ? 'trial-table-voided' : '',
    isActive ? 'trial-table-active' : '',
  ].join(' ');
}

function SuspicionShape({ trial }: { readonly trial: TrialSummary }) {
  const shape = suspicionWords(trial.suspicion, formatTrialTime)?.shape ?? null;
  return shape === null ? null : <StateShape shape={shape} />;
}

const columns: readonly { readonly key: Exclude<keyof TrialRow, 'id'>; readonly title: string }[] = [
  { key: 'when', title: 'When' },
  { key: 'tool', title: 'Tool' },
  { key: 'direction', title: 'Direction' },
  { key: 'planned', title: 'Planned' },
  { key: 'sustained', title: 'Sustained' },
  { key: 'quality', title: 'Quality' },
  { key: 'state', title: 'State' },
  { key: 'check', title: 'Daily check' },
  { key: 'mark', title: 'Mark' },
];

function keyTarget(key: string, active: number, total: number): number | null {
  switch (key) {
    case 'ArrowDown':
      return active + 1;
    case 'ArrowUp':
      return active - 1;
    case 'PageDown':
      return active + PAGE_ROWS;
    case 'PageUp':
      return active - PAGE_ROWS;
    case 'Home':
      return 0;
    case 'End':
      return total - 1;
    default:
      return null;
  }
}
