import { useSearchParams } from 'wouter';
import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { operatorWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import { ShareLink } from '../../share/ShareLink.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { Page, Panel } from '../../ui/Panel.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { editionsAddress } from '../standings-addresses.ts';
import { BackToTable } from '../StandingsNav.tsx';
import { rangesWords } from '../../../shared-lib/standings/words/place-sentences.ts';
import { TableView } from '../table/TableView.tsx';
import { useStandingsRequest } from '../use-standings-request.ts';
import { Waiting } from '../Waiting.tsx';
import { ChangesList } from './ChangesList.tsx';

interface EditionPageProps {
  readonly tableId: string;
  readonly editionId: string;
}

/** A table as it was frozen; `?with=` compares it with now or with another edition. */
export function EditionPage({ tableId, editionId }: EditionPageProps) {
  const { result, error, isLoading } = useStandingsRequest('getEdition', { editionId });
  const edition = result?.summary.id === editionId ? result : null;
  const isGone = error?.code === 'edition-not-found' && edition === null;
  return (
    <Page
      title={edition === null ? 'Edition' : edition.summary.name}
      actions={
        <>
          <LinkButton href={editionsAddress(tableId)} look="quiet">
            All editions
          </LinkButton>
          <BackToTable tableId={tableId} />
          {edition === null ? null : <ShareLink subject={{ kind: 'edition', editionId }} of="this edition" />}
        </>
      }
    >
      <FailureNotice error={isGone ? null : error} />
      <Waiting isLoading={isLoading && edition === null}>The edition is being read.</Waiting>
      {isGone ? (
        <EmptyState
          title="No such edition"
          actions={<LinkButton href={editionsAddress(tableId)}>All editions</LinkButton>}
        >
          <p>Editions are never deleted; this address may belong to other data.</p>
        </EmptyState>
      ) : null}
      {edition === null ? null : (
        <>
          <FrozenNotice edition={edition} />
          <Comparison tableId={tableId} editionId={editionId} name={edition.summary.name} />
          <TableView
            standings={edition.standings}
            ranges={edition.placeRanges}
            rangesWords={rangesWords(edition.placeRanges, false)}
            editionId={editionId}
            changes={null}
          />
          <Panel title="How it was frozen">
            <DataList label="How it was frozen">
              <DataRow name="Note">{edition.summary.note === '' ? 'none' : edition.summary.note}</DataRow>
              <DataRow name="Version of the definitions">{edition.summary.definitionVersion}</DataRow>
              <DataRow name="Version of the program">{edition.summary.softwareVersion}</DataRow>
              <DataRow
                name="Fingerprint (SHA-256)"
                note="Two editions with the same one hold the same, figure by figure."
              >
                <code className="edition-fingerprint">{edition.summary.fingerprint}</code>
              </DataRow>
            </DataList>
          </Panel>
        </>
      )}
    </Page>
  );
}

function FrozenNotice({
  edition: { summary, sinceThen },
}: {
  readonly edition: RequestResult<'getEdition'>;
}) {
  return (
    <>
      <Notice kind="information">
        Frozen {formatDateTime(summary.createdAt)} by {operatorWords(summary.operator)}: these figures do not
        follow what happens since.
      </Notice>
      {sinceThen.length === 0 ? null : (
        <Panel title="Since then" lead="What became of its trials. The figures below stay as they were.">
          <ul className="standings-sentences">
            {sinceThen.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        </Panel>
      )}
    </>
  );
}

const NOTHING = 'nothing';
const NOW = 'now';

function Comparison({ tableId, editionId, name }: EditionPageProps & { readonly name: string }) {
  const [params, setParams] = useSearchParams();
  const wanted = params.get('with') ?? NOTHING;
  const editions = useRequest('listEditions', { tableId }, 'standingsChanged').result?.editions ?? [];
  const others = editions.filter(({ id }) => id !== editionId);
  const { result, error, isLoading } = useStandingsRequest(
    'compareEditions',
    wanted === NOTHING ? null : { fromEditionId: editionId, toEditionId: wanted === NOW ? null : wanted },
  );
  const otherName = others.find(({ id }) => id === wanted)?.name;
  return (
    <Panel
      title="What changed"
      actions={
        <SelectField
          label="Compare with"
          options={[
            { key: NOTHING, label: 'Nothing' },
            { key: NOW, label: 'The table as it is now' },
            ...others.map((other) => ({
              key: other.id,
              label: other.name,
              note: formatDateTime(other.createdAt),
            })),
          ]}
          selected={wanted}
          onSelect={(key) => setParams(key === NOTHING ? {} : { with: key }, { replace: true })}
        />
      }
    >
      <FailureNotice error={error} />
      <Waiting isLoading={wanted !== NOTHING && isLoading}>The two are being compared.</Waiting>
      {wanted === NOTHING ? (
        <p>Choose what it is compared with, and you will read here who moved and why.</p>
      ) : result === null || isLoading ? null : result.changes.length === 0 &&
        result.sentences.length === 0 ? (
        <p>Nothing is other than in {name}: every figure is the same.</p>
      ) : (
        <>
          <p>
            Before: {name}. After: {otherName ?? 'the table as it is now'}.
          </p>
          {result.sentences.length === 0 ? null : (
            <ul className="standings-sentences">
              {result.sentences.map((sentence) => (
                <li key={sentence}>{sentence}</li>
              ))}
            </ul>
          )}
          {result.changes.length === 0 ? (
            <p>No figure is another.</p>
          ) : (
            <ChangesList changes={result.changes} />
          )}
        </>
      )}
    </Panel>
  );
}
