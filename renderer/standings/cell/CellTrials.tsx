import { Link } from 'wouter';
import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import '../../calibrate/figure-table.css';
import { formatTrialTime } from '../../ui/date-time.ts';
import { columnDecimals, type MeasureQuantity } from '../words/measure-quantity.ts';
import { inReadingOrder } from './cell-sentences.ts';

interface CellTrialsProps {
  readonly trials: RequestResult<'getStandingsCell'>['trials'];
  readonly quantity: MeasureQuantity;
}

/** Every trial with its value; those that do not count, with the reason. */
export function CellTrials({ trials, quantity }: CellTrialsProps) {
  const decimals = columnDecimals(
    quantity,
    trials.flatMap(({ value }) => (value === null ? [] : [value])),
  );
  return (
    <div className="figure-table-frame" role="region" aria-label="Trials behind it" tabIndex={0}>
      <table className="figure-table cell-trials">
        <caption className="visually-hidden">Trials behind the figure, those that count first</caption>
        <thead>
          <tr>
            <th scope="col">Trial</th>
            <th scope="col" className="figure-table-number">
              Value, {quantity.unit}
            </th>
            <th scope="col">Read by</th>
            <th scope="col">Counts</th>
          </tr>
        </thead>
        <tbody>
          {inReadingOrder(trials).map((trial) => (
            <tr key={trial.trialId}>
              <th scope="row">
                <Link href={`/logbook/${encodeURIComponent(trial.trialId)}`} className="cell-trial-link">
                  {formatTrialTime(trial.startedAt)}
                </Link>
              </th>
              <td className="figure-table-number">
                {trial.value === null ? 'no value' : formatNumber(quantity.toShown(trial.value), decimals)}
              </td>
              <td>{trial.calibrationLabel}</td>
              <td>{trial.leftOutBecause === null ? 'counts' : `Left out: ${trial.leftOutBecause}`}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
