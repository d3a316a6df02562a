import type { ControlChart, DailyCheck } from '../../../shared-lib/calibration/daily-check-model.ts';
import { BASELINE_CHECKS } from '../../../shared-lib/calibration/judge-daily-check.ts';
import { Panel } from '../../ui/Panel.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { LinePicture, type LinePictureProps, type PictureLine } from '../../ui/picture/LinePicture.tsx';
import {
  chartRules,
  chartSummary,
  chartTitles,
  type ErrorPoint,
  errorPoints,
  errorSummary,
} from './chart-sentences.ts';

const HALF = { width: 560, height: 280 };
const WHOLE = { width: 1120, height: 280 };

interface CheckChartsProps {
  /** Newest first. */
  readonly checks: readonly DailyCheck[];
  readonly charts: readonly ControlChart[];
}

/** How the bench has read since it was calibrated: single errors, and from enough checks on the control charts. */
export function CheckCharts({ checks, charts }: CheckChartsProps) {
  const errors = errorPoints(checks);
  // Before that their limits are those of a few checks and nothing is judged by them, so the errors stand by themselves.
  const drawn = charts.filter(({ points }) => points.length >= BASELINE_CHECKS);
  return (
    <Panel
      title="How it has read"
      lead={
        drawn.length === 0
          ? `${errorSummary(errors)} Control charts begin with ${BASELINE_CHECKS} checks; until then each stands for itself.`
          : errorSummary(errors)
      }
    >
      {errors.length === 0 ? null : drawn.length === 0 ? (
        <LinePicture {...errorPicture(errors)} size={WHOLE} />
      ) : (
        <div className="check-charts">
          {drawn.map((chart) => (
            <figure key={chart.kind} className="check-chart">
              <h3>{chartTitles[chart.kind]}</h3>
              <LinePicture {...controlPicture(chart)} size={HALF} />
              <figcaption>
                {chartSummary(chart, formatDateTime)} {chartRules[chart.kind]}
              </figcaption>
            </figure>
          ))}
        </div>
      )}
    </Panel>
  );
}

type Picture = Omit<LinePictureProps, 'size'>;

function errorPicture(errors: readonly ErrorPoint[]): Picture {
  const limitLine = (sign: 1 | -1, label: string): PictureLine => ({
    label,
    look: 'limit',
    color: null,
    points: errors.map(({ limitPercent }, index) => ({
      x: index + 1,
      y: limitPercent === null ? Number.NaN : sign * limitPercent,
    })),
  });
  return {
    summary: errorSummary(errors),
    xTitle: 'check, oldest first',
    yTitle: 'error, %',
    xTicks: countTicks(errors.length),
    lines: [
      {
        label: '',
        look: 'solid',
        color: null,
        points: errors.map(({ errorPercent }, index) => ({ x: index + 1, y: errorPercent })),
      },
      limitLine(1, 'may be'),
      limitLine(-1, 'may be'),
    ],
    marks: errors.map(({ errorPercent, isFailed }, index) => ({
      x: index + 1,
      y: errorPercent,
      shape: isFailed ? 'diamond' : 'dot',
    })),
  };
}

function controlPicture(chart: ControlChart): Picture {
  const at = (pick: (point: ControlChart['points'][number]) => number) =>
    chart.points.map((point, index) => ({ x: index + 1, y: pick(point) }));
  return {
    summary: chartSummary(chart, formatDateTime),
    xTitle: 'check, oldest first',
    yTitle: 'error, %',
    xTicks: countTicks(chart.points.length),
    lines: [
      { label: '', look: 'solid', color: null, points: at(({ value }) => value) },
      { label: 'centre', look: 'dotted', color: null, points: at(() => chart.centre) },
      { label: 'upper', look: 'limit', color: null, points: at(({ upper }) => upper) },
      { label: 'lower', look: 'limit', color: null, points: at(({ lower }) => lower) },
    ],
    marks: chart.points.map(({ value, isOutside }, index) => ({
      x: index + 1,
      y: value,
      shape: isOutside ? 'diamond' : 'dot',
    })),
  };
}

/** At most about ten whole numbers, the first and the last among them. */
export function countTicks(count: number): { value: number; label: string }[] {
  const step = [1, 2, 5, 10, 20, 50, 100].find((candidate) => count / candidate <= 10) ?? 500;
  const ticks = Array.from({ length: Math.floor(count / step) }, (_, index) => (index + 1) * step);
  const wanted = ticks[0] === 1 || count === 0 ? ticks : [1, ...ticks];
  return wanted.map((value) => ({ value, label: String(value) }));
}
