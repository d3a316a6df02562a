import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { Button } from '../../ui/Button.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import '../../ui/state-shape.css';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import '../figure-table.css';
import { senseTitles } from '../../../shared-lib/calibration/words/result-sentences.ts';
import { levelTorqueFormat } from './level-torque.ts';
import { stageWords, takenWords } from './run-sentences.ts';

export interface ReadingTableProps {
  readonly run: CalibrationRun;
  /** Null: nothing can be taken again any more. */
  readonly onRedo: ((index: number) => void) | null;
}

/** What was taken, the newest first; each can be taken again, and the one before is kept. */
export function ReadingTable({ run, onRedo }: ReadingTableProps) {
  const { unit } = useTorqueDisplay();
  const format = levelTorqueFormat(
    run.readings.map(({ torqueNm }) => torqueNm),
    unit,
  );
  const rows = [...run.taken].sort((a, b) => b.id - a.id);
  const replacedCount = new Map<number, number>();
  for (const { index } of run.replaced) replacedCount.set(index, (replacedCount.get(index) ?? 0) + 1);
  return (
    <Panel
      title="Readings"
      lead="Newest first. A reading that is taken again replaces this one; both are kept."
    >
      {rows.length === 0 ? (
        <p className="run-aside">None yet.</p>
      ) : (
        <div
          className="figure-table-frame run-readings"
          tabIndex={0}
          role="region"
          aria-label="Readings taken"
        >
          <table className="figure-table">
            <thead>
              <tr>
                <th scope="col" className="figure-table-number">
                  No.
                </th>
                <th scope="col">Sense</th>
                <th scope="col">Reading</th>
                <th scope="col" className="figure-table-number">
                  Mounting
                </th>
                <th scope="col" className="figure-table-number">
                  Counts
                </th>
                <th scope="col" className="figure-table-number">
                  Spread
                </th>
                <th scope="col" className="figure-table-number">
                  Drift, counts/s
                </th>
                <th scope="col">Taken</th>
                <th scope="col">
                  <span className="visually-hidden">Take again</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {rows.map((reading) => {
                const planned = run.readings[reading.index];
                if (planned === undefined) return null;
                const replaced = replacedCount.get(reading.index) ?? 0;
                return (
                  <tr key={reading.id}>
                    <th scope="row" className="figure-table-number">
                      {reading.index + 1}
                    </th>
                    <td>{senseTitles[planned.sense]}</td>
                    <td>{stageWords(planned, format(planned.torqueNm))}</td>
                    <td className="figure-table-number">{planned.mounting}</td>
                    <td className="figure-table-number">{formatNumber(reading.meanCounts, 1)}</td>
                    <td className="figure-table-number">{formatNumber(reading.spreadCounts, 1)}</td>
                    <td className="figure-table-number">{formatNumber(reading.driftCountsPerS, 2)}</td>
                    <td>
                      <span className="run-taken">
                        {reading.flags.length === 0 ? null : <StateShape shape="caution" />}
                        <span>
                          {takenWords(reading)}
                          {replaced === 0 ? '' : `; replaces ${replaced} taken before`}
                        </span>
                      </span>
                    </td>
                    <td>
                      {onRedo === null ? null : (
                        <Button
                          look="quiet"
                          aria-label={`Take reading ${reading.index + 1} again`}
                          onPress={() => onRedo(reading.index)}
                        >
                          Again
                        </Button>
                      )}
                    </td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      )}
    </Panel>
  );
}
