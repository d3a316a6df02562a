import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { AppError } from '../../../shared-lib/app-error.ts';
import { type SchemeDraft, schemeDraftSchema } from '../../../shared-lib/standings/scheme-model.ts';
import type { SchemeFinding } from '../../../shared-lib/standings/scheme-model.ts';
import { useStandingsRequest } from '../use-standings-request.ts';
import { useDebounced } from './use-debounced.ts';

/** Long enough that a number is typed to its end. */
const TYPING_MS = 350;

export interface DraftCheck {
  readonly findings: readonly SchemeFinding[];
  /** Null: no table, not readable yet, stopped, or for what stood there before. */
  readonly preview: RequestResult<'previewStandings'> | null;
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
    settled === null || tableId === null || !isChecked || isStopped ? null : { tableId, draft: settled },
  );
  return {
    findings,
    preview: isStopped || settled === null ? null : preview.result,
    isLoading: check.isLoading || preview.isLoading,
    error: check.error ?? (isStopped ? null : preview.error),
  };
}
