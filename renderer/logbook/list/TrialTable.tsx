import { useVirtualizer } from '@tanstack/react-virtual';
import { type ClipboardEvent, type KeyboardEvent, useEffect, useId, useRef, useState } from 'react';
import { useLocation } from 'wouter';
import type { TrialSort } from '../../../shared-lib/logbook/logbook-requests.ts';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import type { TrialPagesView } from '../use-trial-pages.ts';
import { rememberedRow, rememberRow } from './remembered-row.ts';
import { keyTarget } from './row-keys.ts';
import type { TableLayout } from './table-columns.ts';
import { TrialTableHead } from './TrialTableHead.tsx';
import { TrialTableRow } from './TrialTableRow.tsx';

/** The height of a row in logbook-list.css. */
const ROW_PX = 40;

interface TrialTableProps {
  readonly total: number;
  readonly pages: TrialPagesView;
  readonly layout: TableLayout;
  readonly sort: TrialSort;
  readonly onSort: (sort: TrialSort) => void;
  /** Ids of the trials that were picked out for something to be done with all of them. */
  readonly picked: ReadonlySet<string>;
  readonly onPick: (trialId: string) => void;
  /** The trial that the arrow keys have come to. */
  readonly onActive: (trial: TrialSummary | undefined) => void;
  /** What Ctrl+C takes at once; null: it has to be fetched first, and the caller does that. */
  readonly onCopy: () => string | null;
  /** Names this list, so that going back from a trial comes to the row one had left. */
  readonly listKey: string;
}

/** One stop for the Tab key besides the heads; arrows move, Enter opens a trial, Space picks it out of the list. */
export function TrialTable(props: TrialTableProps) {
  const { total, pages, layout, sort, onSort, picked, onPick, onActive, onCopy, listKey } = props;
  const [, navigate] = useLocation();
  const scrollRef = useRef<HTMLDivElement>(null);
  const [left] = useState(() => rememberedRow(listKey));
  const [active, setActive] = useState(left?.index ?? 0);
  const tableId = useId();
  const virtualizer = useVirtualizer({
    count: total,
    getScrollElement: () => scrollRef.current,
    estimateSize: () => ROW_PX,
    overscan: 10,
    initialOffset: left?.offsetPx ?? 0,
  });
  const items = virtualizer.getVirtualItems();
  const first = items[0]?.index ?? 0;
  const last = items.at(-1)?.index ?? 0;
  const { show, trials } = pages;
  useEffect(() => show(first, last), [show, first, last]);
  useEffect(() => {
    if (left !== null) scrollRef.current?.focus({ preventScroll: true });
  }, [left]);

  const activeRow = Math.min(active, total - 1);
  const activeTrial = trials.get(activeRow);
  useEffect(() => onActive(activeTrial), [onActive, activeTrial]);

  const open = (index: number) => {
    const trial = trials.get(index);
    if (trial === undefined) return;
    rememberRow(listKey, { index, offsetPx: virtualizer.scrollOffset ?? 0 });
    navigate(`/logbook/${trial.id}`);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    // Keys on a head belong to it.
    if (event.target !== event.currentTarget || event.ctrlKey || event.metaKey || event.altKey) return;
    const target = keyTarget(event.key, activeRow, total);
    if (event.key === 'Enter') open(activeRow);
    else if (event.key === ' ') {
      if (activeTrial !== undefined) onPick(activeTrial.id);
    } else if (target !== null) {
      setActive(target);
      virtualizer.scrollToIndex(target);
    } else return;
    event.preventDefault();
  };
  const copy = (event: ClipboardEvent) => {
    // Words that were marked with the mouse are what is meant.
    if (getSelection()?.isCollapsed === false) return;
    const text = onCopy();
    event.preventDefault();
    if (text !== null) event.clipboardData.setData('text/plain', text);
  };

  return (
    <div
      ref={scrollRef}
      className="trial-table"
      role="grid"
      aria-label="Trials. Enter opens a trial, Space picks it, Ctrl and C copy it."
      aria-multiselectable
      aria-rowcount={total + 1}
      aria-colcount={layout.columns.length + 1}
      aria-activedescendant={`${tableId}-${activeRow}`}
      tabIndex={0}
      onKeyDown={onKeyDown}
      onCopy={copy}
    >
      <TrialTableHead layout={layout} sort={sort} onSort={onSort} />
      <div
        role="rowgroup"
        className="trial-table-body"
        style={{ height: virtualizer.getTotalSize(), minWidth: layout.minWidth }}
      >
        {items.map(({ index, start }) => {
          const trial = trials.get(index);
          return (
            <TrialTableRow
              key={index}
              id={`${tableId}-${index}`}
              index={index}
              startPx={start}
              trial={trial}
              layout={layout}
              isPicked={trial !== undefined && picked.has(trial.id)}
              isActive={index === activeRow}
              onOpen={() => {
                setActive(index);
                open(index);
              }}
              onPick={() => {
                setActive(index);
                if (trial !== undefined) onPick(trial.id);
              }}
            />
          );
        })}
      </div>
    </div>
  );
}
