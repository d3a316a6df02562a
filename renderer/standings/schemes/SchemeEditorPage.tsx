import { useSearchParams } from 'wouter';
import type { SchemeVersion } from '../../../shared-lib/standings/scheme-model.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Page } from '../../ui/Panel.tsx';
import { NEW_SCHEME, standingsRoutes } from '../standings-addresses.ts';
import { useStandingsRequest } from '../use-standings-request.ts';
import { Waiting } from '../Waiting.tsx';
import './scheme-editor.css';
import { SchemeEditor } from './SchemeEditor.tsx';

/** A scheme with its versions; `new` begins one, from another where `?from=` names it. */
export function SchemeEditorPage({ schemeId }: { readonly schemeId: string }) {
  const [params] = useSearchParams();
  const isNew = schemeId === NEW_SCHEME;
  const sourceId = isNew ? params.get('from') : schemeId;
  const list = useRequest('listSchemes', {}, 'standingsChanged');
  const tables = useRequest('listStandingsTables', {}, 'standingsChanged');
  const versions = useStandingsRequest(
    'listSchemeVersions',
    sourceId === null ? null : { schemeId: sourceId },
  );
  const source: SchemeVersion | null = versions.result?.versions[0] ?? null;
  const isReady = list.result !== null && tables.result !== null && (sourceId === null || source !== null);
  const isGone = versions.error?.code === 'scheme-not-found' && source === null;
  const error = list.error ?? tables.error ?? (isGone ? null : versions.error);
  return (
    <Page
      title={isNew ? 'New scheme' : (source?.name ?? 'Scheme')}
      actions={
        <LinkButton href={standingsRoutes.schemes} look="quiet">
          All schemes
        </LinkButton>
      }
    >
      <FailureNotice error={error} />
      <Waiting isLoading={!isReady && error === null && !isGone}>The scheme is being read.</Waiting>
      {isReady ? (
        <SchemeEditor
          source={source}
          isNew={isNew}
          list={list.result}
          tables={tables.result.tables}
          versions={isNew ? [] : (versions.result?.versions ?? [])}
          references={versions.result?.references ?? []}
          askedTableId={params.get('table')}
        />
      ) : null}
      {isGone ? (
        <EmptyState
          title="No such scheme"
          actions={<LinkButton href={standingsRoutes.schemes}>All schemes</LinkButton>}
        >
          <p>This address may belong to other data.</p>
        </EmptyState>
      ) : null}
    </Page>
  );
}
