import type { StepResult } from '../../../shared-lib/calibration/result-model.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import {
  type BudgetTime,
  OTHER_SOURCES,
  sharePicture,
} from '../../../shared-lib/calibration/budget-shares.ts';
import type { ResultTorque } from '../../../shared-lib/calibration/words/result-figures.ts';
import { barWords } from '../../../shared-lib/calibration/words/result-sentences.ts';
import './share-bars.css';

export interface ShareBarsProps {
  readonly steps: readonly StepResult[];
  readonly time: BudgetTime;
  readonly torque: ResultTorque;
  /** What limits most, in a sentence. */
  readonly summary: string;
}

const BAR = { left: 104, width: 522, height: 22, gap: 8 };
/** Narrower segments have no room for their number. */
const LEAST_NUMBERED_PX = 20;

/** One bar for each step, its whole length u²; each source has a number and a colour, the same in all bars. */
export function ShareBars({ steps, time, torque, summary }: ShareBarsProps) {
  const { sources, bars } = sharePicture(steps, time);
  const height = bars.length * (BAR.height + BAR.gap);
  return (
    <figure className="share-bars">
      <svg
        viewBox={`0 0 640 ${height}`}
        role="img"
        aria-label={`Shares of u². ${bars.map((bar) => barWords(bar, torque)).join('; ')}.`}
      >
        {bars.map((bar, row) => {
          const y = row * (BAR.height + BAR.gap);
          let x = BAR.left;
          return (
            <g key={bar.step.level}>
              <text className="share-bars-torque" x={BAR.left - 10} y={y + 16} textAnchor="end">
                {torque.format(bar.step.torqueNm)}
              </text>
              {bar.segments.map(({ source, sharePercent }, place) => {
                const width = (sharePercent / 100) * BAR.width;
                const from = x;
                x += width;
                return (
                  <g key={source} className={`share-bars-${kindOf(source, place)}`}>
                    <rect x={from} y={y} width={width} height={BAR.height} />
                    {width < LEAST_NUMBERED_PX ? null : (
                      <>
                        <rect
                          className="share-bars-plate"
                          x={from + width / 2 - 8}
                          y={y + 3}
                          width={16}
                          height={16}
                          rx={3}
                        />
                        <text
                          className="share-bars-number"
                          x={from + width / 2}
                          y={y + 16}
                          textAnchor="middle"
                        >
                          {place + 1}
                        </text>
                      </>
                    )}
                  </g>
                );
              })}
            </g>
          );
        })}
      </svg>
      <figcaption>
        <ol className="share-bars-key" aria-label="Sources">
          {sources.map((source, place) => {
            const share = bars.at(-1)?.segments[place]?.sharePercent ?? 0;
            return (
              <li key={source}>
                <svg viewBox="0 0 14 14" aria-hidden="true" className={`share-bars-${kindOf(source, place)}`}>
                  <rect width="14" height="14" />
                </svg>
                <span>
                  {place + 1} {source}, {formatNumber(share, 1)} % at the highest step
                </span>
              </li>
            );
          })}
        </ol>
        {summary}
      </figcaption>
    </figure>
  );
}

function kindOf(source: string, place: number): string {
  return source === OTHER_SOURCES || place > 4 ? 'other' : `source-${place + 1}`;
}
