import { useState } from 'react';
import { Link } from 'wouter';
import type { EditionSummary } from '../../../shared-lib/standings/standings-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { operatorWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { ActionRow, FieldGrid, Page, Panel } from '../../ui/Panel.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { editionAddress } from '../standings-addresses.ts';
import { BackToTable } from '../StandingsNav.tsx';
import { Waiting } from '../Waiting.tsx';

/** What was frozen of a table, and the form that freezes it as it is now. */
export function EditionsPage({ tableId }: { readonly tableId: string }) {
  const { result, error, isLoading } = useRequest('listEditions', { tableId }, 'standingsChanged');
  const tables = useRequest('listStandingsTables', {}, 'standingsChanged').result?.tables ?? [];
  const table = tables.find(({ id }) => id === tableId);
  return (
    <Page
      title={table === undefined ? 'Editions' : `Editions of ${table.name}`}
      actions={<BackToTable tableId={tableId} />}
    >
      <FreezeForm tableId={tableId} />
      <FailureNotice error={error} />
      <Waiting isLoading={isLoading && result === null}>The editions are being looked up.</Waiting>
      {result === null ? null : (
        <Panel
          title={result.editions.length === 1 ? '1 edition' : `${result.editions.length} editions`}
          lead="Newest first. An edition never changes, whatever becomes of trials, prices and rules."
        >
          {result.editions.length === 0 ? (
            <p>
              None yet. Freeze the table when you publish it: later you can show what it was, and say what
              changed since and why.
            </p>
          ) : (
            <ul className="standings-list" aria-label="Editions">
              {result.editions.map((edition) => (
                <EditionRow key={edition.id} edition={edition} />
              ))}
            </ul>
          )}
        </Panel>
      )}
    </Page>
  );
}

function EditionRow({ edition }: { readonly edition: EditionSummary }) {
  const address = editionAddress(edition.tableId, edition.id);
  return (
    <li className="standings-item standings-item-row">
      <div>
        <p>
          <Link href={address} className="cell-trial-link">
            <strong>{edition.name}</strong>
          </Link>
        </p>
        <p className="standings-soft">
          Frozen {formatDateTime(edition.createdAt)} by {operatorWords(edition.operator)}
        </p>
        {edition.note === '' ? null : <p className="standings-text">{edition.note}</p>}
      </div>
      <LinkButton href={`${address}?with=now`}>What changed since {edition.name}</LinkButton>
    </li>
  );
}

function FreezeForm({ tableId }: { readonly tableId: string }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [name, setName] = useState('');
  const [note, setNote] = useState('');
  const [made, setMade] = useState<EditionSummary | null>(null);
  const freeze = () =>
    void run(async () => {
      setMade(await connection.request('makeEdition', { tableId, name: name.trim(), note: note.trim() }));
      setName('');
      setNote('');
    });
  return (
    <Panel
      title="Freeze the table as it is now"
      lead="Kept whole: rules, trials, prices, calibrations and the ranges of the places, so that it can be shown and recomputed as it was."
    >
      <FieldGrid>
        <TextField label="Name of the edition" value={name} onChange={setName} maxLength={80} isRequired />
        <TextField
          label="Note"
          value={note}
          onChange={setNote}
          maxLength={2000}
          help="What it is for, such as where it is published"
        />
      </FieldGrid>
      <ActionRow>
        <Button look="primary" isDisabled={name.trim() === ''} isPending={isBusy} onPress={freeze}>
          Freeze this edition
        </Button>
      </ActionRow>
      <FailureNotice error={error} />
      <p role="status" className="standings-status">
        {made === null ? '' : `“${made.name}” is frozen, fingerprint ${made.fingerprint.slice(0, 12)}.`}
      </p>
    </Panel>
  );
}
