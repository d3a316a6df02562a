import { randomUUID } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import { readyMadeSchemes } from '../../shared-lib/standings/ready-made-schemes.ts';
import type { SchemeVersion } from '../../shared-lib/standings/scheme-model.ts';
import type { RequestHandlers } from '../services.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import {
  appendSchemeVersion,
  listArchivedSchemeIds,
  setSchemeArchived,
} from '../storage/scheme-repository.ts';
import { findingsOf, refuseStopped } from './check-draft.ts';
import { describeReferences } from './describe-references.ts';
import type { TableReader } from './read-table.ts';
import { isReadyMade, listNewestSchemes, listVersions } from './schemes.ts';
import type { StandingsTools } from './standings-tools.ts';

type Names = 'listSchemes' | 'listSchemeVersions' | 'checkScheme' | 'saveScheme' | 'archiveScheme';

/** The ready-made schemes, and those of the user. */
export function createSchemePart(
  tools: StandingsTools,
  reader: TableReader,
): { readonly handlers: Pick<RequestHandlers, Names> } {
  const { database, clock, emit } = tools;
  return {
    handlers: {
      listSchemes: () => ({
        schemes: listNewestSchemes(database),
        readyMadeIds: readyMadeSchemes.map(({ schemeId }) => schemeId),
        archivedIds: listArchivedSchemeIds(database),
      }),
      listSchemeVersions: ({ schemeId }) => {
        const versions = listVersions(database, schemeId);
        return { versions, references: describeReferences(database, versions) };
      },
      checkScheme: (request) => ({ findings: findingsOf({ database, reader }, request) }),
      saveScheme: ({ schemeId, draft }) => {
        // Made once, so that a second try after a lock is the same scheme.
        const id = schemeId ?? randomUUID();
        return retryWhenLocked((): SchemeVersion => {
          if (schemeId !== null) refuseChangeOf(database, schemeId);
          refuseStopped(
            findingsOf({ database, reader }, { draft, schemeId, tableId: null }),
            'The scheme was not saved.',
          );
          const saved = appendSchemeVersion(database, draft, {
            schemeId: id,
            operator: tools.operator(),
            createdAt: clock.now().toISOString(),
          });
          emit('standingsChanged', {});
          return saved;
        });
      },
      archiveScheme: ({ schemeId, isArchived }) =>
        retryWhenLocked(() => {
          listVersions(database, schemeId);
          setSchemeArchived(database, schemeId, isArchived);
          emit('standingsChanged', {});
          return {};
        }),
    },
  };
}

/** Errors: AppError 'scheme-not-found'; 'scheme-invalid' for a ready-made one. */
function refuseChangeOf(database: StandingsTools['database'], schemeId: string): void {
  const [newest] = listVersions(database, schemeId);
  if (!isReadyMade(schemeId)) return;
  throw new AppError(
    'scheme-invalid',
    `The ready-made scheme "${newest?.name ?? ''}" stays as it is. Nothing was changed. Save yours as a new scheme, under a name of its own.`,
    { schemeId },
  );
}
