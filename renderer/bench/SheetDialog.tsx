import { ArrowDown, ArrowUp } from 'lucide-react';
import type { RunSheetEntry, SheetOnBench } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { describeEntry } from '../../shared-lib/run-sheet/describe-entry.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { Dialog } from '../ui/Dialog.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import type { Overlay } from './BenchOverlay.tsx';
import { movesOf, whatIsLeft } from './sheet-order.ts';
import './sheet-dialog.css';

export interface SheetDialogProps {
  readonly sheet: SheetOnBench;
  readonly onOpen: (overlay: Overlay) => void;
  readonly onLeave: () => void;
  readonly onClose: () => void;
}

/** What is left of the sheet: in which order, without what, or another day. */
export function SheetDialog({ sheet, onOpen, onLeave, onClose }: SheetDialogProps) {
  const connection = useConnection();
  const action = useAction();
  const { result, error } = useRequest('getRunSheet', { runSheetId: sheet.id }, 'runSheetsChanged');
  const left = result === null ? null : whatIsLeft(result);
  const nameOf = (entry: RunSheetEntry): string => describeEntry(entry, result?.plan ?? sheet);
  const move = (entryId: string, beforeEntryId: string | null): void => {
    void action.run(() => connection.request('moveEntry', { entryId, beforeEntryId }));
  };
  const { current } = sheet;
  return (
    <Dialog
      title="What is left"
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button look="primary" onPress={onClose}>
            Back to the Bench
          </Button>
          {current === null ? null : (
            <Button
              onPress={() => onOpen({ shows: 'skip', entryId: current.id, entryName: nameOf(current) })}
            >
              Skip the next one
            </Button>
          )}
          <Button onPress={onLeave}>Take the sheet off the bench</Button>
          {current === null ? null : (
            <Button onPress={() => onOpen({ shows: 'endEarly', runSheetId: sheet.id })}>
              End the day early
            </Button>
          )}
        </>
      }
    >
      <FailureNotice error={action.error ?? error} />
      {left === null ? <p>Asking for the sheet.</p> : null}
      {left !== null && left.open.length === 0 ? <p>Nothing is left to pull.</p> : null}
      <ol className="sheet-left" aria-label="Left to pull">
        {left?.open.map((entry, index) => {
          const name = nameOf(entry);
          const { next, up, down } = movesOf(left.open, index);
          return (
            <li key={entry.id} className="sheet-left-row">
              <span className="sheet-left-name">{name}</span>
              {next === undefined ? (
                <strong className="sheet-left-next">Next</strong>
              ) : (
                <Button aria-label={`Do ${name} next`} onPress={() => move(entry.id, next)}>
                  Do this next
                </Button>
              )}
              <Button
                look="quiet"
                aria-label={`Move ${name} up`}
                isDisabled={up === undefined}
                onPress={() => up !== undefined && move(entry.id, up)}
              >
                <ArrowUp aria-hidden="true" size={18} />
              </Button>
              <Button
                look="quiet"
                aria-label={`Move ${name} down`}
                isDisabled={down === undefined}
                onPress={() => down !== undefined && move(entry.id, down)}
              >
                <ArrowDown aria-hidden="true" size={18} />
              </Button>
            </li>
          );
        })}
      </ol>
      {left === null || left.skipped.length === 0 ? null : (
        <>
          <h3>Skipped</h3>
          <ul className="sheet-left" aria-label="Skipped">
            {left.skipped.map((entry) => (
              <li key={entry.id} className="sheet-left-row">
                <span className="sheet-left-name">
                  {nameOf(entry)}
                  <span className="sheet-left-reason"> {entry.skipReason}</span>
                </span>
                <Button
                  aria-label={`Take back the skip of ${nameOf(entry)}`}
                  onPress={() =>
                    void action.run(() => connection.request('takeBackSkip', { entryId: entry.id }))
                  }
                >
                  Pull it after all
                </Button>
              </li>
            ))}
          </ul>
        </>
      )}
    </Dialog>
  );
}
