import type { Sensitivity } from '../../../shared-lib/standings/standings-model.ts';
import { barsOf, type FactorBar, scaleTicks, shareOfScale } from './factor-scale.ts';
import './sensitivity.css';

const VIEW = { width: 900, left: 270, right: 24, top: 30, row: 46 };

interface FactorPictureProps {
  readonly terms: Sensitivity['terms'];
  readonly labelOf: (termId: string) => string;
  readonly summary: string;
}

/**
 * How far each factor can go: the wide bar while the first stays first, the dark one in it while nobody changes places. An
 * end without a stop goes on beyond the scale.
 */
export function FactorPicture({ terms, labelOf, summary }: FactorPictureProps) {
  const plotWidth = VIEW.width - VIEW.left - VIEW.right;
  const toX = (times: number) => VIEW.left + shareOfScale(times) * plotWidth;
  const bottom = VIEW.top + terms.length * VIEW.row;
  return (
    <figure className="factor-picture">
      <svg viewBox={`0 0 ${VIEW.width} ${bottom + 26}`} role="img" aria-label={summary}>
        {scaleTicks.map((times) => (
          <g key={times}>
            <path
              className={times === 1 ? 'factor-now' : 'factor-grid'}
              d={`M${toX(times)} ${VIEW.top - 8}V${bottom}`}
            />
            <text className="factor-tick" x={toX(times)} y={VIEW.top - 14} textAnchor="middle">
              {times === 1 ? 'now' : times === 0 ? 'none' : `× ${times}`}
            </text>
          </g>
        ))}
        {terms.map((term, index) => {
          const y = VIEW.top + index * VIEW.row;
          const { order, leader } = barsOf(term);
          return (
            <g key={term.termId}>
              <text className="factor-label" x={VIEW.left - 14} y={y + 26} textAnchor="end">
                {shortened(labelOf(term.termId))}
              </text>
              {leader === null ? (
                <text className="factor-tick" x={VIEW.left + 8} y={y + 26}>
                  factor 0: it brings nothing
                </text>
              ) : (
                <Bar bar={leader} className="factor-leader" y={y + 7} height={28} toX={toX} />
              )}
              {order === null ? null : (
                <Bar bar={order} className="factor-order" y={y + 14} height={14} toX={toX} />
              )}
            </g>
          );
        })}
        <path className="factor-axis" d={`M${VIEW.left} ${bottom}H${VIEW.width - VIEW.right}`} />
      </svg>
      <figcaption className="factor-key">
        <span>
          <svg viewBox="0 0 34 18" width="34" height="18" aria-hidden="true">
            <rect className="factor-leader" x="1" y="1" width="32" height="16" />
          </svg>
          the first stays first
        </span>
        <span>
          <svg viewBox="0 0 34 18" width="34" height="18" aria-hidden="true">
            <rect className="factor-order" x="1" y="4" width="32" height="10" />
          </svg>
          nobody changes places
        </span>
      </figcaption>
    </figure>
  );
}

function Bar({
  bar,
  className,
  y,
  height,
  toX,
}: {
  readonly bar: FactorBar;
  readonly className: string;
  readonly y: number;
  readonly height: number;
  readonly toX: (times: number) => number;
}) {
  const ends = [toX(bar.from), toX(bar.to)];
  const [from, to] = [Math.min(...ends), Math.max(...ends)];
  // A range of nothing is shown as a line, not as no bar.
  const width = Math.max(to - from, 2);
  const stops = [...(bar.isOpenBelow ? [] : [from]), ...(bar.isOpenAbove ? [] : [from + width])];
  return (
    <g>
      <rect className={className} x={from} y={y} width={width} height={height} />
      {stops.map((x) => (
        <path key={x} className="factor-stop" d={`M${x} ${y - 3}v${height + 6}`} />
      ))}
    </g>
  );
}

const MOST_CHARACTERS = 34;

function shortened(label: string): string {
  return label.length <= MOST_CHARACTERS ? label : `${label.slice(0, MOST_CHARACTERS - 1)}…`;
}
