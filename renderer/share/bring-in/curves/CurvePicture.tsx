import { axisAround, type AxisScale, extentOf } from '../../../../shared-lib/charts/axis-scale.ts';
import type { CurvesPreview } from '../../../../shared-lib/exchange/exchange-requests.ts';
import { formatRate, formatTorque, fromOwnUnit, unitLabel } from '../../../../shared-lib/format-quantity.ts';
import { useSettings } from '../../../api-client/ConnectionContext.tsx';

type Curve = CurvesPreview['curves'][number];

const WIDTH = 720;
const HEIGHT = 260;
const MARGIN = { left: 56, right: 12, top: 12, bottom: 34 } as const;
const COLOURS = 5;

/** The curves as they were read, so that a wrong column, unit or decimal sign is seen at once. */
export function CurvePicture({ curves }: { readonly curves: readonly Curve[] }) {
  const unit = useSettings()?.torqueUnit ?? 'Nm';
  const shown = curves.map((curve) => ({
    ...curve,
    torque: Array.from(curve.torqueNm, (torqueNm) => fromOwnUnit(torqueNm, unit)),
  }));
  const torqueAxis = axisAround(extentOf(shown.flatMap(({ torque }) => torque)), {
    mostTicks: 5,
    fromZero: true,
  });
  const timeAxis = axisAround(extentOf(shown.flatMap(({ timeS }) => [...timeS])), {
    mostTicks: 8,
    fromZero: true,
  });
  const x = (timeS: number): number =>
    MARGIN.left + shareOf(timeAxis, timeS) * (WIDTH - MARGIN.left - MARGIN.right);
  const y = (torque: number): number =>
    HEIGHT - MARGIN.bottom - shareOf(torqueAxis, torque) * (HEIGHT - MARGIN.top - MARGIN.bottom);
  return (
    <figure className="curves-picture">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={descriptionOf(curves, unit)}>
        {torqueAxis.ticks.map(({ value, label }) => (
          <g key={value}>
            <line
              className="curves-grid"
              x1={MARGIN.left}
              x2={WIDTH - MARGIN.right}
              y1={y(value)}
              y2={y(value)}
            />
            <text x={MARGIN.left - 6} y={y(value) + 4} textAnchor="end">
              {label}
            </text>
          </g>
        ))}
        {timeAxis.ticks.map(({ value, label }) => (
          <text key={value} x={x(value)} y={HEIGHT - MARGIN.bottom + 18} textAnchor="middle">
            {label}
          </text>
        ))}
        {shown.map(({ label, timeS, torque }, index) => (
          <polyline
            key={label}
            className={`curves-line curves-line-${(index % COLOURS) + 1}`}
            points={torque
              .map((value, at) => `${x(timeS[at] ?? 0).toFixed(1)},${y(value).toFixed(1)}`)
              .join(' ')}
          />
        ))}
      </svg>
      <figcaption>
        {unitLabel(unit)} over seconds from the first sample.
        <ul className="curves-legend">
          {curves.map(({ label, sampleRateHz, lostCount }, index) => (
            <li key={label}>
              <span className={`curves-key curves-key-${(index % COLOURS) + 1}`} aria-hidden="true" />
              <span>
                {label}: {formatRate(sampleRateHz, Number.isInteger(sampleRateHz) ? 0 : 2)}
                {lostCount === 0 ? '' : `, ${lostCount} ${lostCount === 1 ? 'sample' : 'samples'} missing`}
              </span>
            </li>
          ))}
        </ul>
      </figcaption>
    </figure>
  );
}

function shareOf({ min, max }: AxisScale, value: number): number {
  return (value - min) / (max - min);
}

function descriptionOf(curves: readonly Curve[], unit: 'Nm' | 'ftLbf'): string {
  const peaks = curves.map(({ label, torqueNm }) => {
    const extent = extentOf(torqueNm);
    if (extent === null) return label;
    const largestNm = -extent.min > extent.max ? extent.min : extent.max;
    return `${label} up to ${formatTorque(largestNm, unit, 0)}`;
  });
  return `Curves of the file: ${peaks.join(', ')}`;
}
