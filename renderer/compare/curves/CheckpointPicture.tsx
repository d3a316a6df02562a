import type { Checkpoint } from '../../../shared-lib/comparison/comparison-model.ts';
import { roundRange } from '../../ui/picture/picture-scale.ts';
import { AxesPicture } from '../picture/AxesPicture.tsx';
import { exactRange, numberTicks, pictureFrame, px } from '../picture/picture-frame.ts';
import './curves.css';

interface CheckpointPictureProps {
  readonly checkpoints: readonly Checkpoint[];
  readonly fromS: number;
  readonly toS: number;
  readonly width: number;
  readonly left: number;
  readonly longestLabel: string;
  readonly yTitle: string;
  readonly summary: string;
}

/** A over B at each instant with its interval, below the curves and in line with them: filled where it is clear. */
export function CheckpointPicture(props: CheckpointPictureProps) {
  const { checkpoints, fromS, toS, width, left, longestLabel, yTitle, summary } = props;
  const points = checkpoints.flatMap(({ atS, ratio, isClear }) =>
    ratio === null
      ? []
      : [
          {
            atS,
            isClear,
            middle: (ratio.ratio - 1) * 100,
            low: (ratio.low - 1) * 100,
            high: (ratio.high - 1) * 100,
          },
        ],
  );
  const x = exactRange(fromS, toS);
  const y = roundRange([0, ...points.flatMap(({ low, high }) => [low, high])]);
  const frame = pictureFrame({
    size: { width, height: 170 },
    x,
    y,
    left,
    longestLabel,
    xTicks: checkpoints.map(({ atS }) => ({ value: atS, label: `${atS}` })),
    yTicks: numberTicks(y).map(({ value, label }) => ({ value, label: value > 0 ? `+${label}` : label })),
  });
  return (
    <AxesPicture frame={frame} summary={summary} xTitle="time from onset, s" yTitle={yTitle}>
      {points.map(({ atS, isClear, middle, low, high }) => {
        const at = px(frame.toX(atS));
        const [top, bottom] = [px(frame.toY(high)), px(frame.toY(low))];
        return (
          <g key={atS} className="curves-interval">
            <path d={`M${at} ${top}V${bottom}M${at - 6} ${top}h12M${at - 6} ${bottom}h12`} />
            <circle
              className={isClear ? 'curves-clear' : 'curves-open'}
              cx={at}
              cy={px(frame.toY(middle))}
              r="5"
            />
          </g>
        );
      })}
    </AxesPicture>
  );
}
