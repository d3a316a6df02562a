import type { Checkpoint } from '../../../shared-lib/comparison/comparison-model.ts';
import { spreadOut } from '../../live-curve/axis-chart.ts';
import type { CurvePoint } from '../../live-curve/earlier-curve.ts';
import { AxesPicture, EndLabel } from '../picture/AxesPicture.tsx';
import {
  exactRange,
  linePath,
  LINE_PX,
  type PictureFrame,
  pictureFrame,
  type PictureSize,
  px,
  rangeFromZero,
} from '../picture/picture-frame.ts';
import { type AlignedRun, meanCurve, within } from './aligned-curves.ts';
import './curves.css';

export interface SideLook {
  readonly side: 'a' | 'b';
  readonly label: string;
  /** `--curve-N` of the tokens. */
  readonly color: number;
}

/** A is solid, B is dashed, whatever their colours: two setups of one tool share one. */
export function lookClass({ side, color }: SideLook): string {
  return `picture-line picture-look-${side === 'a' ? 'solid' : 'dashed'} picture-color-${color}`;
}

export interface CurvesPictureProps {
  readonly runs: readonly AlignedRun[];
  readonly looks: readonly SideLook[];
  readonly fromS: number;
  readonly toS: number;
  readonly shownPerNm: number;
  readonly yTitle: string;
  readonly summary: string;
  readonly size: PictureSize;
  readonly checkpoints: readonly Checkpoint[];
  readonly lead: { readonly fromS: number; readonly label: string } | null;
  /** The pictures below share its edges. */
  readonly left?: number;
}

/** Every run from its onset on, thin; the mean of each side, where it has more than one, thick above them. */
export function CurvesPicture(props: CurvesPictureProps) {
  const { runs, looks, fromS, toS, shownPerNm, yTitle, summary, size, checkpoints, lead } = props;
  const shown = runs.map(({ points, ...run }) => ({
    ...run,
    points: within(points, fromS, toS).map(({ x, y }) => ({ x, y: y * shownPerNm })),
  }));
  const frame = pictureFrame({
    size,
    x: exactRange(fromS, toS),
    y: rangeFromZero(shown.flatMap(({ points }) => points.map(({ y }) => y))),
    longestLabel: longest(looks.map(({ label }) => label)),
    ...(props.left === undefined ? {} : { left: props.left }),
  });
  const sides = looks.flatMap((look) => {
    const curves = shown.filter(({ side }) => side === look.side).map(({ points }) => points);
    return curves.length === 0 ? [] : [{ look, curves, mean: meanCurve(curves, fromS, toS) }];
  });
  const heights = spreadOut(
    sides.map(({ mean }) => frame.toY(mean.findLast(({ y }) => Number.isFinite(y))?.y ?? 0)),
    LINE_PX,
    frame.top,
  );
  return (
    <AxesPicture frame={frame} summary={summary} xTitle="time from onset, s" yTitle={yTitle}>
      <Instants frame={frame} checkpoints={checkpoints} lead={lead} toS={toS} />
      {sides.map(({ look, curves, mean }) => (
        <g key={look.side} className={lookClass(look)}>
          {curves.map((points, index) => (
            <path
              key={index}
              className={curves.length > 1 ? 'curves-run' : undefined}
              d={linePath(points, frame)}
            />
          ))}
          {curves.length > 1 ? <path className="curves-mean" d={linePath(mean, frame)} /> : null}
        </g>
      ))}
      {sides.map(({ look }, index) => (
        <EndLabel
          key={look.side}
          frame={frame}
          y={heights[index] ?? frame.top}
          text={look.label}
          className={lookClass(look)}
        />
      ))}
    </AxesPicture>
  );
}

interface InstantsProps extends Pick<CurvesPictureProps, 'checkpoints' | 'lead' | 'toS'> {
  readonly frame: PictureFrame;
}

/** Where torque is compared, and from where on one leads. */
function Instants({ frame, checkpoints, lead, toS }: InstantsProps) {
  return (
    <>
      {lead === null ? null : (
        <>
          <rect
            className="curves-lead"
            x={px(frame.toX(lead.fromS))}
            y={frame.top}
            width={px(frame.toX(toS) - frame.toX(lead.fromS))}
            height={frame.bottom - frame.top}
          />
          <text className="picture-label" x={px(frame.toX(lead.fromS)) + 6} y={frame.bottom - 8}>
            {lead.label}
          </text>
        </>
      )}
      {checkpoints
        .filter(({ atS }) => atS <= toS)
        .map(({ atS }) => (
          <path
            key={atS}
            className="curves-instant"
            d={`M${px(frame.toX(atS))} ${frame.top}V${frame.bottom}`}
          />
        ))}
    </>
  );
}

export function longest(texts: readonly string[]): string {
  return texts.reduce((kept, text) => (text.length > kept.length ? text : kept), '');
}

/** For the summary: how high the curve of a side ends on average; NaN where it has none. */
export function endOfMean(runs: readonly AlignedRun[], side: 'a' | 'b', fromS: number, toS: number): number {
  const curves: (readonly CurvePoint[])[] = runs
    .filter((run) => run.side === side)
    .map(({ points }) => points);
  return meanCurve(curves, fromS, toS).findLast(({ y }) => Number.isFinite(y))?.y ?? Number.NaN;
}
