import { spreadOut } from '../../live-curve/axis-chart.ts';
import { roundRange } from '../../ui/picture/picture-scale.ts';
import { AxesPicture } from '../picture/AxesPicture.tsx';
import { LINE_PX, pictureFrame, px } from '../picture/picture-frame.ts';
import { countTicks } from '../../calibrate/check/CheckCharts.tsx';
import {
  type RunOwner,
  type RunPoint,
  sessionBreaks,
} from '../../../shared-lib/comparison/words/run-points.ts';
import './runs.css';

interface RunPlotProps {
  readonly points: readonly RunPoint[];
  readonly toShown: (value: number) => number;
  readonly yTitle: string;
  readonly summary: string;
  /** What each owner is called, with its place among the curve colours; null: ink. */
  readonly owners: readonly {
    readonly owner: RunOwner;
    readonly label: string;
    readonly color: number | null;
  }[];
  readonly onOpen: (trialId: string) => void;
}

const SIZE = { width: 1120, height: 340 };

/** A run without a value stands at the foot as a cross, so that it is not overlooked and never looks measured. */
export function RunPlot({ points, toShown, yTitle, summary, owners, onOpen }: RunPlotProps) {
  const values = points.flatMap(({ trial }) => (trial.value === null ? [] : [toShown(trial.value)]));
  const frame = pictureFrame({
    size: SIZE,
    x: { min: 0.25, max: points.length + 0.75, step: 1 },
    y: roundRange(values),
    longestLabel: owners.reduce((kept, { label }) => (label.length > kept.length ? label : kept), ''),
    xTicks: countTicks(points.length),
  });
  const colorOf = (owner: RunOwner) => owners.find((one) => one.owner === owner)?.color ?? null;
  const ends = owners.map(({ owner }) => {
    const last = points.findLast((point) => point.owner === owner && point.trial.value !== null);
    return last?.trial.value == null ? frame.bottom : frame.toY(toShown(last.trial.value));
  });
  const heights = spreadOut(ends, LINE_PX, frame.top);
  return (
    <AxesPicture
      frame={frame}
      summary={summary}
      xTitle="run, in the order in which they were pulled"
      yTitle={yTitle}
    >
      {sessionBreaks(points).map((place) => (
        <g key={place}>
          <path className="runs-break" d={`M${px(frame.toX(place + 0.5))} ${frame.top}V${frame.bottom}`} />
          <text className="picture-title" x={px(frame.toX(place + 0.5)) + 5} y={frame.top + 11}>
            next session
          </text>
        </g>
      ))}
      {points.map(({ trial, owner, place, isLeftOut }) => (
        <RunMark
          key={trial.trialId}
          owner={owner}
          color={colorOf(owner)}
          isHollow={isLeftOut}
          isCross={trial.value === null}
          x={px(frame.toX(place))}
          y={trial.value === null ? frame.bottom - 8 : px(frame.toY(toShown(trial.value)))}
          onOpen={() => onOpen(trial.trialId)}
        />
      ))}
      {owners.map(({ owner, label, color }, index) => (
        <g key={owner}>
          <RunMark
            owner={owner}
            color={color}
            isHollow={false}
            isCross={false}
            x={frame.right + 18}
            y={px(heights[index] ?? frame.top)}
          />
          <text
            className="picture-label"
            x={frame.right + 34}
            y={px(heights[index] ?? frame.top)}
            dy="0.35em"
          >
            {label}
          </text>
        </g>
      ))}
    </AxesPicture>
  );
}

interface RunMarkProps {
  readonly owner: RunOwner;
  readonly color: number | null;
  readonly isHollow: boolean;
  readonly isCross: boolean;
  readonly x: number;
  readonly y: number;
  readonly onOpen?: () => void;
}

/** A disc for A, a square for B, a triangle for the reference tool, a small disc for others. */
function RunMark({ owner, color, isHollow, isCross, x, y, onOpen }: RunMarkProps) {
  const name = [
    'runs-mark',
    color === null ? 'picture-ink' : `picture-color-${color}`,
    isHollow || isCross ? 'runs-hollow' : 'runs-filled',
    ...(onOpen === undefined ? [] : ['runs-open']),
  ].join(' ');
  const path = isCross ? `M${x - 5} ${y - 5}l10 10m0 -10l-10 10` : marks[owner](x, y);
  // The table below has the same trials as links, for the keyboard.
  return <path className={name} d={path} {...(onOpen === undefined ? {} : { onClick: onOpen })} />;
}

const marks: Readonly<Record<RunOwner, (x: number, y: number) => string>> = {
  a: (x, y) => disc(x, y, 5.5),
  b: (x, y) => `M${x - 5} ${y - 5}h10v10h-10z`,
  reference: (x, y) => `M${x} ${y - 6.5}l6.5 11.5h-13z`,
  other: (x, y) => disc(x, y, 3),
};

function disc(x: number, y: number, radius: number): string {
  return `M${x - radius} ${y}a${radius} ${radius} 0 1 0 ${2 * radius} 0a${radius} ${radius} 0 1 0 ${-2 * radius} 0z`;
}
