import type { Comparison } from '../../../shared-lib/comparison/comparison-model.ts';
import {
  axisEnds,
  confidenceWords,
  intervalSummary,
  percentWords,
  type SideNames,
} from '../../../shared-lib/comparison/words/compare-sentences.ts';
import { intervalScale } from './interval-scale.ts';
import { px } from './picture-frame.ts';
import '../../ui/picture/line-picture.css';
import './interval-picture.css';

const WIDTH = 620;
const HEIGHT = 170;
const EDGE = 26;
const TOP = 46;
const BOTTOM = 122;
const BAR = 84;
const ARROW = 9;

interface IntervalPictureProps {
  readonly comparison: Comparison;
  readonly names: SideNames;
}

/** The ratio of A to B with its interval, beside the margin that was fixed beforehand. */
export function IntervalPicture({ comparison, names }: IntervalPictureProps) {
  const { ratio, levelInterval, marginPercent, confidence, better } = comparison;
  const summary = intervalSummary(comparison, names);
  if (ratio === null) return <p className="compare-soft">{summary}</p>;
  const { place, ticks } = intervalScale(comparison);
  const toX = (value: number) => EDGE + Math.min(Math.max(place(value), 0), 1) * (WIDTH - 2 * EDGE);
  const limits = [1 / (1 + marginPercent / 100), 1 + marginPercent / 100] as const;
  const ends = axisEnds(better, names);
  return (
    <figure className="interval-figure">
      <svg
        className="picture"
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        width={WIDTH}
        height={HEIGHT}
        role="img"
        aria-label={summary}
      >
        <rect
          className="interval-margin"
          x={px(toX(limits[0]))}
          y={TOP}
          width={px(toX(limits[1]) - toX(limits[0]))}
          height={BOTTOM - TOP}
        />
        {limits.map((limit) => (
          <path key={limit} className="interval-limit" d={`M${px(toX(limit))} ${TOP}V${BOTTOM}`} />
        ))}
        <path className="picture-axis" d={`M${EDGE} ${BOTTOM}H${WIDTH - EDGE}`} />
        <path className="interval-equal" d={`M${px(toX(1))} ${TOP - 4}V${BOTTOM}`} />
        {ticks.map(({ value, label }) => (
          <text key={value} className="picture-tick" x={px(toX(value))} y={BOTTOM + 18} textAnchor="middle">
            {label}
          </text>
        ))}
        <text className="picture-label" x={EDGE} y={16}>
          {ends.less}
        </text>
        <text className="picture-label" x={WIDTH - EDGE} y={16} textAnchor="end">
          {ends.more}
        </text>
        <text className="picture-title" x={px(toX(1))} y={TOP - 10} textAnchor="middle">
          {`margin ±${percentWords(marginPercent)}`}
        </text>

        <Bar className="interval-bar" from={ratio.low} to={ratio.high} place={place} toX={toX} />
        {levelInterval === null ? null : (
          <path
            className="interval-level"
            d={`M${px(toX(levelInterval.low))} ${BAR}H${px(toX(levelInterval.high))}`}
          />
        )}
        <circle className="interval-dot" cx={px(toX(ratio.ratio))} cy={BAR} r="7" />

        <text className="picture-title" x={WIDTH / 2} y={HEIGHT - 4} textAnchor="middle">
          {`${names.a} against ${names.b}, ${confidenceWords(confidence)} interval`}
        </text>
      </svg>
      <figcaption>{summary}</figcaption>
    </figure>
  );
}

interface BarProps {
  readonly className: string;
  readonly from: number;
  readonly to: number;
  readonly place: (value: number) => number;
  readonly toX: (value: number) => number;
}

/** Ends in caps where the interval ends, and in arrows where it goes on beyond the picture. */
function Bar({ className, from, to, place, toX }: BarProps) {
  const [left, right] = [px(toX(from)), px(toX(to))];
  const leftEnd =
    place(from) < 0 ? `M${left + ARROW} ${BAR - ARROW}L${left} ${BAR}l${ARROW} ${ARROW}` : cap(left);
  const rightEnd =
    place(to) > 1 ? `M${right - ARROW} ${BAR - ARROW}L${right} ${BAR}l${-ARROW} ${ARROW}` : cap(right);
  return <path className={className} d={`M${left} ${BAR}H${right}${leftEnd}${rightEnd}`} />;
}

function cap(x: number): string {
  return `M${x} ${BAR - 10}v20`;
}
