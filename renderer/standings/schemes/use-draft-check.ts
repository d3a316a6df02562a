import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { AppError } from '../../../shared-lib/app-error.ts';
import { type SchemeDraft, schemeDraftSchema } from '../../../shared-lib/standings/scheme-model.ts';
import type { SchemeFinding } from '../../../shared-lib/standings/scheme-model.ts';
import type { Standings } from '../../../shared-lib/standings/standings-model.ts';
import { useDebounced } from '../../ui/use-debounced.ts';
import { useStandingsRequest } from '../use-standings-request.ts';

/** Long enough that a number is typed to its end. */
const TYPING_MS = 350;

export interface DraftCheck {
  readonly findings: readonly SchemeFinding[];
  /** Null: no table, not readable yet, stopped, or for what stood there before. */
  readonly preview: RequestResult<'previewStandings'> | null;
  /** The newest order of this table that a draft made; it stays while the draft cannot be read or is stopped. */
  readonly newestStandings: Standings | null;
  readonly isLoading: boolean;
  readonly error: AppError | null;
}

/** What speaks against a draft and the order that it makes, as one types. Null: it cannot be read yet. */
export function useDraftCheck(
  draft: SchemeDraft | null,
  schemeId: string | null,
  tableId: string | null,
): DraftCheck {
  const text = useDebounced(draft === null ? '' : JSON.stringify(draft), TYPING_MS);
  const settled = text === '' || draft === null ? null : schemeDraftSchema.parse(JSON.parse(text));
  const check = useStandingsRequest(
    'checkScheme',
    settled === null ? null : { schemeId, draft: settled, tableId },
  );
  const findings = check.result?.findings ?? [];
  const isStopped = findings.some(({ severity }) => severity === 'stop');
  const isChecked = check.result !== null && !check.isLoading;
  const preview = useStandingsRequest(
    'previewStandings',
    settled === null || tableId === null || !isChecked || isStopped
      ? null
      : { tableId, schemeId, draft: settled },
  );
  return {
    findings,
    preview: isStopped || settled === null ? null : preview.result,
    newestStandings: preview.result?.standings.table.id === tableId ? preview.result.standings : null,
    isLoading: check.isLoading || preview.isLoading,
    error: check.error ?? (isStopped ? null : preview.error),
  };
}
