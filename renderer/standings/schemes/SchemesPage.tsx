import { useState } from 'react';
import { Link } from 'wouter';
import type { SchemeVersion } from '../../../shared-lib/standings/scheme-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Page, Panel } from '../../ui/Panel.tsx';
import { NEW_SCHEME, newTableAddress, schemeAddress, standingsRoutes } from '../standings-addresses.ts';
import { quantityOf } from '../words/measure-quantity.ts';
import { useMeasureWords, useQuantityContext } from '../use-measure-words.ts';
import { Waiting } from '../Waiting.tsx';
import {
  type SchemeWords,
  termWords,
  versionWords,
} from '../../../shared-lib/standings/words/scheme-sentences.ts';

/** All schemes with their rules in words; ready-made ones are copied to be changed. */
export function SchemesPage() {
  const { result, error, isLoading } = useRequest('listSchemes', {}, 'standingsChanged');
  const tables = useRequest('listStandingsTables', {}, 'standingsChanged').result?.tables ?? [];
  const connection = useConnection();
  const action = useAction();
  const [putAway, setPutAway] = useState<SchemeVersion | null>(null);
  // Amounts of money are in the currency of whichever table is ranked by it.
  const context = useQuantityContext('currency units');
  const words: SchemeWords = {
    value: (measure, value) => quantityOf(measure, context).inWords(value),
    measure: useMeasureWords(result?.schemes ?? []),
    contender: () => 'the reference tool',
  };
  const archive = (scheme: SchemeVersion, isArchived: boolean) =>
    void action.run(async () => {
      await connection.request('archiveScheme', { schemeId: scheme.schemeId, isArchived });
      setPutAway(isArchived ? scheme : null);
    });
  const shown = (result?.schemes ?? []).filter(
    ({ schemeId }) => result?.archivedIds.includes(schemeId) !== true,
  );
  const away = (result?.schemes ?? []).filter(
    ({ schemeId }) => result?.archivedIds.includes(schemeId) === true,
  );
  return (
    <Page
      title="Schemes"
      actions={
        <>
          <LinkButton href={standingsRoutes.overview} look="quiet">
            All tables
          </LinkButton>
          <LinkButton href={schemeAddress(NEW_SCHEME)} look="primary">
            New scheme
          </LinkButton>
        </>
      }
    >
      <FailureNotice error={error ?? action.error} />
      <div role="status" className="standings-live">
        {putAway === null ? null : (
          <Notice
            kind="information"
            actions={
              <Button isPending={action.isBusy} onPress={() => archive(putAway, false)}>
                Undo
              </Button>
            }
          >
            “{putAway.name}” is put away. Tables that are ranked by it stay as they are.
          </Notice>
        )}
      </div>
      <Waiting isLoading={isLoading && result === null}>The schemes are being looked up.</Waiting>
      {shown.map((scheme) => {
        const isReadyMade = result?.readyMadeIds.includes(scheme.schemeId) === true;
        const used = tables.filter(({ schemeId }) => schemeId === scheme.schemeId);
        return (
          <Panel
            key={scheme.schemeId}
            title={scheme.name}
            lead={isReadyMade ? 'Ready-made' : versionWords(scheme)}
            actions={
              <>
                {isReadyMade ? null : (
                  <LinkButton href={schemeAddress(scheme.schemeId)}>Change {scheme.name}</LinkButton>
                )}
                <LinkButton href={schemeAddress(NEW_SCHEME, { from: scheme.schemeId })}>
                  Copy {scheme.name}
                </LinkButton>
              </>
            }
          >
            {scheme.note === '' ? null : <p className="standings-text">{scheme.note}</p>}
            <ol className="standings-sentences" aria-label={`Terms of ${scheme.name}`}>
              {scheme.terms.map((term) => (
                <li key={term.id}>
                  <strong>{term.label}</strong>
                  {term.label === words.measure(term.measure)
                    ? ''
                    : ` (${words.measure(term.measure)})`}: {termWords(term, words)}.
                </li>
              ))}
            </ol>
            {scheme.isNormalised ? (
              <p className="standings-soft">The total is divided by the sum of the factors that took part.</p>
            ) : null}
            <ActionRow>
              {used.length === 0 ? (
                <span className="standings-soft">No table is ranked by it.</span>
              ) : (
                <span className="standings-soft">
                  Ranked by it:{' '}
                  {used.map(({ id, name }, index) => (
                    <span key={id}>
                      {index === 0 ? '' : ', '}
                      <Link href={`/standings/${encodeURIComponent(id)}`}>{name}</Link>
                    </span>
                  ))}
                </span>
              )}
              <LinkButton href={newTableAddress(scheme.schemeId)} look="quiet">
                Make a table with it
              </LinkButton>
              {isReadyMade ? null : (
                <Button
                  look="quiet"
                  aria-label={`Put ${scheme.name} away`}
                  isPending={action.isBusy}
                  onPress={() => archive(scheme, true)}
                >
                  Put it away
                </Button>
              )}
            </ActionRow>
          </Panel>
        );
      })}
      {away.length === 0 ? null : (
        <Panel title="Put away" lead="Still there for the tables that are ranked by them.">
          <ul className="standings-list" aria-label="Schemes that were put away">
            {away.map((scheme) => (
              <li key={scheme.schemeId} className="standings-item standings-item-row">
                <strong>{scheme.name}</strong>
                <Button
                  look="quiet"
                  aria-label={`Bring ${scheme.name} back`}
                  isPending={action.isBusy}
                  onPress={() => archive(scheme, false)}
                >
                  Bring it back
                </Button>
              </li>
            ))}
          </ul>
        </Panel>
      )}
    </Page>
  );
}
