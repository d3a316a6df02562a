import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type { AppError } from '../../shared-lib/app-error.ts';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Notice, type NoticeKind } from '../ui/Notice.tsx';
import { Panel } from '../ui/Panel.tsx';
import { durationWords, roleWords } from './run-sheet-sentences.ts';

type Preview = RequestResult<'previewRunSheet'>;

const noticeKinds: Readonly<Record<Preview['findings'][number]['severity'], NoticeKind>> = {
  note: 'information',
  caution: 'caution',
  stop: 'fault',
};

interface RunSheetPreviewProps {
  readonly missing: readonly string[];
  readonly preview: Preview | null;
  readonly error: AppError | null;
}

/** The sheet as it would be made, and what speaks against it. */
export function RunSheetPreview({ missing, preview, error }: RunSheetPreviewProps) {
  return (
    <Panel title="The sheet">
      <p className="sheet-missing" role="status">
        {missing.length > 0 ? `Still needed: ${missing.join(', ')}.` : ''}
      </p>
      <FailureNotice error={error} />
      {preview === null ? null : (
        <>
          {preview.entries.length === 0 ? null : (
            <p>
              <strong>
                {preview.countedCount} counted {preview.countedCount === 1 ? 'pull' : 'pulls'}
              </strong>
              {preview.uncountedCount === 0 ? '' : ` and ${preview.uncountedCount} more`}, about{' '}
              {durationWords(preview.durationS)}. {preview.protects}
            </p>
          )}
          {preview.findings.map(({ severity, code, sentence }) => (
            <Notice key={`${code} ${sentence}`} kind={noticeKinds[severity]}>
              {sentence}
            </Notice>
          ))}
          {preview.entries.length === 0 ? null : (
            <details>
              <summary>Every pull in its order</summary>
              <ol className="sheet-order">
                {preview.entries.map(({ label, role }, index) => (
                  // The same pull may come again; its place is all that tells it apart.
                  <li key={index}>
                    {label}
                    {role === 'counted' ? '' : <span className="sheet-soft"> ({roleWords[role]})</span>}
                  </li>
                ))}
              </ol>
            </details>
          )}
        </>
      )}
    </Panel>
  );
}
