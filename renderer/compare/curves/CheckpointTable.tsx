import type { Checkpoint } from '../../../shared-lib/comparison/comparison-model.ts';
import { THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import '../../calibrate/figure-table.css';
import {
  checkpointWords,
  ratioPercent,
  type SideNames,
} from '../../../shared-lib/comparison/words/compare-sentences.ts';

interface CheckpointTableProps {
  readonly checkpoints: readonly Checkpoint[];
  readonly names: SideNames;
}

/** The same intervals as figures. */
export function CheckpointTable({ checkpoints, names }: CheckpointTableProps) {
  return (
    <div className="figure-table-frame">
      <table className="figure-table">
        <caption>
          {names.a} over {names.b} at each instant. The intervals hold together at 95 % (Bonferroni).
        </caption>
        <thead>
          <tr>
            <th scope="col">At</th>
            <th scope="col" className="figure-table-number">
              Difference
            </th>
            <th scope="col" className="figure-table-number">
              Interval
            </th>
            <th scope="col">Who</th>
          </tr>
        </thead>
        <tbody>
          {checkpoints.map((checkpoint) => {
            const { atS, ratio } = checkpoint;
            return (
              <tr key={atS}>
                <th scope="row">{`${atS}${THIN_SPACE}s`}</th>
                <td className="figure-table-number">{ratio === null ? '–' : ratioPercent(ratio.ratio)}</td>
                <td className="figure-table-number">
                  {ratio === null ? '–' : `${ratioPercent(ratio.low)} to ${ratioPercent(ratio.high)}`}
                </td>
                <td>{checkpointWords(checkpoint, names)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
