import type { SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import '../figure-table.css';
import { percentColumn } from '../../../shared-lib/calibration/words/result-figures.ts';

/** The degrees that were looked at; with one alone there was no choice. */
export function CandidatesTable({ result }: { readonly result: SenseResult }) {
  const { candidates, degree } = result;
  const interpolation = percentColumn(
    candidates.map(({ greatestInterpolationPercent }) => greatestInterpolationPercent),
  );
  return (
    <div className="figure-table-frame">
      <table className="figure-table">
        <caption>Degrees that were looked at</caption>
        <thead>
          <tr>
            <th scope="col">Degree</th>
            <th scope="col" className="figure-table-number">
              Residual, counts
            </th>
            <th scope="col" className="figure-table-number">
              Lack of fit, p
            </th>
            <th scope="col" className="figure-table-number">
              Largest deviation, %
            </th>
            <th scope="col">Rises</th>
          </tr>
        </thead>
        <tbody>
          {candidates.map((candidate) => (
            <tr key={candidate.degree}>
              <th scope="row">
                {candidate.degree}
                {candidate.degree === degree ? ', taken' : ''}
              </th>
              <td className="figure-table-number">
                {formatNumber(candidate.residualStandardDeviationCounts, 1)}
              </td>
              <td className="figure-table-number">{probabilityWords(candidate.lackOfFitP)}</td>
              <td className="figure-table-number">{interpolation(candidate.greatestInterpolationPercent)}</td>
              <td>{candidate.isMonotone ? 'yes' : 'no'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function probabilityWords(p: number | null): string {
  if (p === null) return 'no repeats';
  return p < 0.001 ? 'under 0.001' : formatNumber(p, 3);
}
