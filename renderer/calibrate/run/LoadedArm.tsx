import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { type HungWeight, hungWeights, hungWords } from './run-sentences.ts';

const WIDTH = 500;
const AXIS = { x: 250, y: 76 };
const ARM_PX = 170;
/** A shorter arm is drawn shorter, but never so short that its weights would hide the axis. */
const SHORTEST_PX = 90;
const HANGER_PX = 26;
const BLOCK = { width: 132, height: 26, gap: 3 };
/** What does not fit under the arm is told by a number. */
const MOST_BLOCKS = 9;

/**
 * Seen from behind the tool: loaded on the right the arm turns forward, on the left in reverse. What stays is filled, what
 * comes on now has a thick frame and says so, what goes off is dashed.
 */
export function LoadedArm({ run }: { readonly run: CalibrationRun }) {
  const asked = run.nextIndex === null ? undefined : run.readings[run.nextIndex];
  if (asked === undefined) return null;
  const { setup } = run;
  const hung = hungWeights(run);
  const arm = asked.arm === 'shortArm' && setup.shortArm !== null ? setup.shortArm : setup.arm;
  const lengthPx = Math.max(SHORTEST_PX, (ARM_PX * arm.lengthM) / setup.arm.lengthM);
  const side = asked.sense === 'forward' ? 1 : -1;
  const endX = AXIS.x + side * Math.min(lengthPx, ARM_PX);
  const shown = hung.slice(0, MOST_BLOCKS);
  // The same height for the whole run, so that nothing jumps while one works.
  const mostWeights = Math.max(...setup.levels.map((weights) => weights.length));
  const height = AXIS.y + HANGER_PX + (Math.min(mostWeights, MOST_BLOCKS) + 1) * (BLOCK.height + BLOCK.gap);
  return (
    <figure className="run-arm">
      <svg viewBox={`0 0 ${WIDTH} ${height}`} role="img" aria-label={hungWords(hung, asked.sense, arm.name)}>
        <path className="run-arm-bar" d={`M${AXIS.x} ${AXIS.y}H${endX}`} />
        <path className="run-arm-line" d={`M${endX} ${AXIS.y}v${HANGER_PX}`} />
        <circle className="run-arm-hub" cx={AXIS.x} cy={AXIS.y} r="26" />
        <rect className="run-arm-drive" x={AXIS.x - 9} y={AXIS.y - 9} width="18" height="18" />
        <TurnArrow side={side} />
        <text className="run-arm-word" x={(AXIS.x + endX) / 2} y={AXIS.y - 16} textAnchor="middle">
          {formatSignificant(arm.lengthM, 'm')}
        </text>
        <text
          className="run-arm-sense"
          x={AXIS.x - side * 60}
          y={AXIS.y + 8}
          textAnchor={side > 0 ? 'end' : 'start'}
        >
          {asked.sense}
        </text>
        {shown.map((one, place) => (
          <Block
            key={one.weight.id}
            hung={one}
            side={side}
            x={endX}
            y={AXIS.y + HANGER_PX + place * (BLOCK.height + BLOCK.gap)}
          />
        ))}
        {hung.length > shown.length ? (
          <text
            className="run-arm-word"
            x={endX}
            y={AXIS.y + HANGER_PX + shown.length * (BLOCK.height + BLOCK.gap) + 18}
            textAnchor="middle"
          >
            and {hung.length - shown.length} more
          </text>
        ) : null}
        {hung.length === 0 ? (
          <text className="run-arm-word" x={endX} y={AXIS.y + HANGER_PX + 24} textAnchor="middle">
            nothing hangs
          </text>
        ) : null}
      </svg>
    </figure>
  );
}

interface BlockProps {
  readonly hung: HungWeight;
  readonly side: number;
  readonly x: number;
  readonly y: number;
}

function Block({ hung: { weight, change }, side, x, y }: BlockProps) {
  const words = { stays: '', on: 'put on', off: 'take off' } as const;
  return (
    <g className={`run-arm-block run-arm-${change}`}>
      <rect x={x - BLOCK.width / 2} y={y} width={BLOCK.width} height={BLOCK.height} rx="3" />
      <text x={x} y={y + 18} textAnchor="middle">
        {weight.name.length > 17 ? `${weight.name.slice(0, 16)}…` : weight.name}
      </text>
      {words[change] === '' ? null : (
        <text
          className="run-arm-change"
          x={x - side * (BLOCK.width / 2 + 8)}
          y={y + 18}
          textAnchor={side > 0 ? 'end' : 'start'}
        >
          {words[change]}
        </text>
      )}
    </g>
  );
}

/** Which way the load turns the axis. */
function TurnArrow({ side }: { readonly side: number }) {
  return (
    <path
      className="run-arm-line"
      transform={`translate(${AXIS.x} ${AXIS.y}) scale(${side} 1)`}
      d="M-38 -22A44 44 0 0 1 38 -22m-12 -4l12 4l2 -13"
    />
  );
}
