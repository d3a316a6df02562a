import { useRequest } from '../../api-client/use-request.ts';
import { formatDateTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Panel } from '../../ui/Panel.tsx';

const kindWords = { package: 'data package', curves: 'curves' } as const;

/** What was taken in so far, with where it came from. */
export function ImportsPanel() {
  const { result, error } = useRequest('listImports', {}, 'catalogueChanged');
  return (
    <Panel title="Taken in so far">
      <FailureNotice error={error} />
      {result === null ? null : result.imports.length === 0 ? (
        <p>Nothing yet. Each package and file of curves will stand here, with the bench it came from.</p>
      ) : (
        <div className="figure-table-frame">
          <table className="figure-table" aria-label="Taken in so far">
            <thead>
              <tr>
                <th scope="col">When</th>
                <th scope="col">File</th>
                <th scope="col">From</th>
                <th scope="col" className="figure-table-number">
                  Trials
                </th>
                <th scope="col">By</th>
              </tr>
            </thead>
            <tbody>
              {result.imports.map(
                ({ id, at, fileName, kind, benchName, trialCount, operator, fingerprint }) => (
                  <tr key={id}>
                    <td className="share-nowrap">{formatDateTime(at)}</td>
                    <td>
                      <span className="share-file-name">{fileName}</span>
                      <span className="share-soft">
                        {kindWords[kind]}, SHA-256 {fingerprint.slice(0, 12)}…
                      </span>
                    </td>
                    <td>{benchName}</td>
                    <td className="figure-table-number">{trialCount}</td>
                    <td>{operator === '' ? '–' : operator}</td>
                  </tr>
                ),
              )}
            </tbody>
          </table>
        </div>
      )}
    </Panel>
  );
}
