import { useState } from 'react';
import { Link } from 'wouter';
import { describeSetup } from '../../shared-lib/run-sheet/describe-entry.ts';
import type { RunSheet, RunSheetEntry } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { formatTrialTime } from '../ui/date-time.ts';
import { Dialog } from '../ui/Dialog.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../ui/Panel.tsx';
import { TextField } from '../ui/TextField.tsx';
import '../calibrate/figure-table.css';
import { PreparationPage } from './PreparationPage.tsx';
import { planWords, stepWords } from './plans/plan-sentences.ts';
import { entryStateWords, orderLabels, roleWords } from './run-sheet-sentences.ts';
import { OpenButton } from './RunSheetsPage.tsx';

/** One run sheet with every entry and the trials behind it. */
export function RunSheetPage({ runSheetId }: { readonly runSheetId: string }) {
  const { result: sheet, error } = useRequest('getRunSheet', { runSheetId }, 'runSheetsChanged');
  const isThis = sheet?.id === runSheetId;
  return (
    <PreparationPage title={isThis ? sheet.name : 'Run sheet'}>
      <FailureNotice error={error} />
      {isThis ? <SheetView sheet={sheet} /> : null}
    </PreparationPage>
  );
}

function SheetView({ sheet }: { readonly sheet: RunSheet }) {
  return (
    <>
      <Panel
        title="How it was made"
        actions={
          sheet.closedAt === null ? (
            <>
              <OpenButton runSheetId={sheet.id} name={sheet.name} />
              <CloseButton sheet={sheet} />
            </>
          ) : (
            <span className="sheet-soft">over since {formatTrialTime(sheet.closedAt)}</span>
          )
        }
      >
        <p>
          {planWords(sheet.plan)}. {orderLabels[sheet.order]}, seed {sheet.seed}. Made{' '}
          {formatTrialTime(sheet.createdAt)}
          {sheet.operator === '' ? '' : ` by ${sheet.operator}`}.
        </p>
      </Panel>
      <Panel
        title="Entries"
        lead="In the order in which they are pulled. A voided pull leaves its entry open."
      >
        <div className="figure-table-frame">
          <table className="figure-table">
            <thead>
              <tr>
                <th scope="col" className="figure-table-number">
                  No.
                </th>
                <th scope="col">Setup</th>
                <th scope="col">Pull</th>
                <th scope="col">Round</th>
                <th scope="col">Role</th>
                <th scope="col">State</th>
                <th scope="col">Trials</th>
              </tr>
            </thead>
            <tbody>
              {sheet.entries.map((entry, index) => (
                <EntryRow key={entry.id} number={index + 1} entry={entry} />
              ))}
            </tbody>
          </table>
        </div>
      </Panel>
    </>
  );
}

function EntryRow({ number, entry }: { readonly number: number; readonly entry: RunSheetEntry }) {
  const { step, restS } = entry;
  return (
    <tr>
      <td className="figure-table-number">{number}</td>
      <th scope="row">{describeSetup(entry.setup)}</th>
      <td>{stepWords({ ...step, preloadNm: step.preloadNm ?? null, repeats: 1, restS })}</td>
      <td>{entry.round === 0 ? '' : entry.round}</td>
      <td>{roleWords[entry.role]}</td>
      <td>{entryStateWords(entry)}</td>
      <td>
        {entry.trialIds.map((trialId, attempt) => (
          <span key={trialId}>
            {attempt === 0 ? '' : ', '}
            <Link href={`/logbook/${trialId}`} aria-label={`Entry ${number}, attempt ${attempt + 1}`}>
              {attempt + 1}
            </Link>
          </span>
        ))}
      </td>
    </tr>
  );
}

/** Ends a sheet; what is still open is not pulled any more, so that takes a reason. */
function CloseButton({ sheet }: { readonly sheet: RunSheet }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [reason, setReason] = useState<string | null>(null);
  const openCount = sheet.entries.filter(({ state }) => state === 'open').length;
  const close = async (why: string | null) => {
    if (await run(() => connection.request('closeRunSheet', { runSheetId: sheet.id, reason: why }))) {
      setReason(null);
    }
  };
  return (
    <ActionRow>
      <Button isPending={isBusy} onPress={() => (openCount === 0 ? void close(null) : setReason(''))}>
        End this sheet
      </Button>
      {reason === null ? (
        <FailureNotice error={error} />
      ) : (
        <Dialog
          title="End this sheet?"
          isOpen
          onClose={() => setReason(null)}
          actions={
            <>
              <Button
                look="primary"
                isDisabled={reason.trim().length < 3}
                isPending={isBusy}
                onPress={() => void close(reason.trim())}
              >
                End it
              </Button>
              <Button look="quiet" onPress={() => setReason(null)}>
                Go on with it later
              </Button>
            </>
          }
        >
          <p>
            {openCount === 1 ? '1 entry is' : `${openCount} entries are`} still open and will not be pulled.
            Trials that were pulled stay as they are.
          </p>
          <TextField label="Why it ends" value={reason} onChange={setReason} maxLength={500} autoFocus />
          <FailureNotice error={error} />
        </Dialog>
      )}
    </ActionRow>
  );
}
