import { operatorWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { formatDateTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Panel } from '../../ui/Panel.tsx';

/** What was changed of a tool, by whom, newest first. */
export function HistoryPanel({ toolId }: { readonly toolId: string }) {
  const { result, error } = useRequest('getToolHistory', { toolId }, 'catalogueChanged');
  const versions = result?.versions ?? [];
  return (
    <Panel title="History" lead="Newest first. Nothing is ever taken out.">
      <FailureNotice error={error} />
      {result !== null && versions.length === 0 ? (
        <p className="tool-soft">Nothing was changed since it was entered.</p>
      ) : null}
      <ol className="tool-history">
        {versions.map(({ at, operator, changes }) => (
          <li key={at}>
            <span className="tool-soft">
              {formatDateTime(at)}, {operatorWords(operator)}
            </span>
            <ul>
              {changes.map((change) => (
                <li key={change}>{change}</li>
              ))}
            </ul>
          </li>
        ))}
      </ol>
    </Panel>
  );
}
