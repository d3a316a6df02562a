import { Link } from 'wouter';
import type { SessionReport } from '../../../shared-lib/run-sheet/session-model.ts';
import '../../calibrate/figure-table.css';
import { formatDateTime } from '../../ui/date-time.ts';
import { Panel } from '../../ui/Panel.tsx';

/** What does not count, and why: published with the figures, so that nobody can say that results were picked. */
export function SessionLosses({ report: { voided, skipped } }: { readonly report: SessionReport }) {
  return (
    <Panel title="Voided and skipped" lead="They are published with their reasons.">
      {voided.length === 0 ? (
        <p>No trial was voided.</p>
      ) : (
        <div className="figure-table-frame">
          <table className="figure-table">
            <caption>{voided.length === 1 ? '1 voided trial' : `${voided.length} voided trials`}</caption>
            <thead>
              <tr>
                <th scope="col">Trial</th>
                <th scope="col">Why</th>
                <th scope="col">Figures</th>
                <th scope="col">When</th>
              </tr>
            </thead>
            <tbody>
              {voided.map(({ trialId, label, reason, figuresShown, at }) => (
                <tr key={trialId}>
                  <th scope="row">
                    <Link href={`/logbook/${trialId}`}>{label}</Link>
                  </th>
                  <td>{reason}</td>
                  <td>{figuresShown ? 'had been shown' : 'not yet shown'}</td>
                  <td className="session-when">{formatDateTime(at)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {skipped.length === 0 ? (
        <p>No entry of a run sheet was skipped.</p>
      ) : (
        <div className="figure-table-frame">
          <table className="figure-table">
            <caption>
              {skipped.length === 1 ? '1 skipped entry' : `${skipped.length} skipped entries`}
            </caption>
            <thead>
              <tr>
                <th scope="col">Entry of the run sheet</th>
                <th scope="col">Why</th>
              </tr>
            </thead>
            <tbody>
              {skipped.map(({ label, reason }, index) => (
                <tr key={`${index} ${label}`}>
                  <th scope="row">{label}</th>
                  <td>{reason}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Panel>
  );
}
