import { Link } from 'wouter';
import type { Comparison } from '../../../shared-lib/comparison/comparison-model.ts';
import '../../calibrate/figure-table.css';
import { formatTrialTime } from '../../ui/date-time.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import {
  roundWords,
  runStateWords,
  type SideNames,
} from '../../../shared-lib/comparison/words/compare-sentences.ts';
import { measureDisplay, measureName } from '../../../shared-lib/comparison/words/measure-choices.ts';
import type { RunPoint } from '../../../shared-lib/comparison/words/run-points.ts';

interface RunTableProps {
  readonly points: readonly RunPoint[];
  readonly comparison: Comparison;
  readonly names: SideNames;
}

/** The runs as figures, each a link to its page in the Logbook. */
export function RunTable({ points, comparison, names }: RunTableProps) {
  const { measure, others, a, b } = comparison;
  const torque = useTorqueDisplay();
  const display = measureDisplay(measure, torque);
  const labelOf = ({ trial: { contenderKey } }: RunPoint): string => {
    if (contenderKey === a.contender.key) return `A ${names.a}`;
    if (contenderKey === b.contender.key) return `B ${names.b}`;
    return others.find(({ key }) => key === contenderKey)?.label ?? 'Reference tool';
  };
  return (
    <details>
      <summary>Every run as figures, with its trial</summary>
      <div className="figure-table-frame">
        <table className="figure-table">
          <caption>
            {measureName(measure, torque)} in {display.unitLabel}
          </caption>
          <thead>
            <tr>
              <th scope="col">Trial</th>
              <th scope="col">Of</th>
              <th scope="col" className="figure-table-number">
                Round
              </th>
              <th scope="col" className="figure-table-number">
                Value
              </th>
              <th scope="col">State</th>
            </tr>
          </thead>
          <tbody>
            {points.map((point) => (
              <tr key={point.trial.trialId}>
                <th scope="row">
                  <Link href={`/logbook/${point.trial.trialId}`} className="compare-link">
                    {formatTrialTime(point.trial.startedAt)}
                  </Link>
                </th>
                <td>{labelOf(point)}</td>
                <td className="figure-table-number">{roundWords(point.trial.round)}</td>
                <td className="figure-table-number">
                  {point.trial.value === null ? '–' : display.formatNumber(point.trial.value)}
                </td>
                <td>{runStateWords(point.trial)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
