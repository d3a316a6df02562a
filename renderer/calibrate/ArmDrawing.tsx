/** What the drawing says at its parts: as typed, or the name of what is still to be entered. */
export interface ArmDrawingProps {
  readonly mass: string;
  readonly armLength: string;
  /** From the horizontal; null while it cannot be read. */
  readonly armAngleDeg: number | null;
  readonly gravity: string;
}

const AXIS = { x: 240, y: 116 };
const ARM_PX = 150;
/** What an angle looks like that has not been entered. */
const SAMPLE_ANGLE_DEG = 7;
/** Under this the angle could not be seen. */
const VISIBLE_ANGLE_DEG = 1;

/** Seen from behind the tool: loaded on the right the arm turns forward, on the left in reverse. */
export function ArmDrawing({ mass, armLength, armAngleDeg, gravity }: ArmDrawingProps) {
  const angleDeg = armAngleDeg ?? SAMPLE_ANGLE_DEG;
  const angleText = armAngleDeg === null ? 'angle' : `${armAngleDeg}°`;
  const angleRad = (angleDeg * Math.PI) / 180;
  const end = { x: AXIS.x + ARM_PX * Math.cos(angleRad), y: AXIS.y - ARM_PX * Math.sin(angleRad) };
  const description =
    `Seen from behind the tool: an arm of length ${armLength} stands out from the transducer’s axis, at ${angleText} ` +
    `from the horizontal. The weight of mass ${mass} hangs from its end, drawn down by gravity, ${gravity}. ` +
    'On the right side it loads forward, on the left side reverse.';
  return (
    <svg className="calibrate-arm" viewBox="0 0 480 260" role="img" aria-label={description}>
      <g className="calibrate-arm-ghost" transform={`rotate(${angleDeg} ${AXIS.x} ${AXIS.y})`}>
        <path d={`M${AXIS.x} ${AXIS.y}h${-ARM_PX}`} />
      </g>
      <path className="calibrate-arm-horizon" d={`M${AXIS.x} ${AXIS.y}h196`} />
      <g transform={`rotate(${-angleDeg} ${AXIS.x} ${AXIS.y})`}>
        <path className="calibrate-arm-bar" d={`M${AXIS.x} ${AXIS.y}h${ARM_PX}`} />
        <g transform={`translate(${AXIS.x} ${AXIS.y - 56})`}>
          <path
            className="calibrate-arm-line"
            d={`M0 24V-8m${ARM_PX} 54V-8M0 0h${ARM_PX}M10 -5L0 0l10 5M${ARM_PX - 10} -5l10 5l-10 5`}
          />
          <text className="calibrate-arm-text" x={ARM_PX / 2} y="-10" textAnchor="middle">
            {armLength}
          </text>
        </g>
      </g>
      <g transform={`translate(${end.x} ${end.y})`}>
        <path className="calibrate-arm-line" d="M0 0v58m0 40v34m-6 -10l6 10l6 -10" />
        <rect className="calibrate-arm-weight" x="-26" y="58" width="52" height="40" rx="3" />
        <text className="calibrate-arm-text" x="34" y="84">
          {mass}
        </text>
        <text className="calibrate-arm-text" x="12" y="130">
          {gravity}
        </text>
        {Math.abs(angleDeg) < VISIBLE_ANGLE_DEG ? null : (
          <text className="calibrate-arm-text" x="12" y={angleDeg > 0 ? 20 : -12}>
            {angleText}
          </text>
        )}
      </g>
      <circle className="calibrate-arm-hub" cx={AXIS.x} cy={AXIS.y} r="24" />
      <rect className="calibrate-arm-drive" x={AXIS.x - 8} y={AXIS.y - 8} width="16" height="16" />
      <text className="calibrate-arm-word" x={AXIS.x + 70} y={AXIS.y + 44} textAnchor="middle">
        forward
      </text>
      <text className="calibrate-arm-word" x={AXIS.x - 110} y={AXIS.y + 44} textAnchor="middle">
        reverse
      </text>
      <text className="calibrate-arm-word" x={AXIS.x} y={AXIS.y + 44} textAnchor="middle">
        axis
      </text>
    </svg>
  );
}
