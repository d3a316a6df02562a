/** What the drawing says at its parts: as typed, or the name of what is still to be entered. */
export interface ArmDrawingProps {
  readonly mass: string;
  readonly armLength: string;
  readonly armAngle: string;
  readonly gravity: string;
}

/** Seen from behind the tool. A fixed picture: its tilt shows what the angle means, not how large it is. */
export function ArmDrawing({ mass, armLength, armAngle, gravity }: ArmDrawingProps) {
  const description =
    `Seen from behind the tool: an arm of length ${armLength} stands out from the transducer’s axis, ` +
    `at ${armAngle} from the horizontal. The weight of mass ${mass} hangs from its end, drawn down by gravity, ${gravity}. ` +
    'On the right side it loads forward, on the left side reverse.';
  return (
    <svg className="calibrate-arm" viewBox="0 0 480 250" role="img" aria-label={description}>
      <g className="calibrate-arm-ghost">
        <path d="M240 110L92 128" />
        <path d="M92 128v46" />
        <path d="M74 174h36v30H74z" />
      </g>
      <path className="calibrate-arm-horizon" d="M240 110H432" />
      <path className="calibrate-arm-bar" d="M240 110L388 92" />
      <path className="calibrate-arm-line" d="M388 92v66" />
      <rect className="calibrate-arm-weight" x="362" y="158" width="52" height="40" rx="3" />
      <path className="calibrate-arm-line" d="M388 198v34m-6-10l6 10l6-10" />
      <circle className="calibrate-arm-hub" cx="240" cy="110" r="24" />
      <rect className="calibrate-arm-drive" x="232" y="102" width="16" height="16" />
      <path
        className="calibrate-arm-line"
        d="M240 78V44m148 30V44M240 52h148m-138-5l-10 5l10 5m128-10l10 5l-10 5"
      />
      <path className="calibrate-arm-line" d="M330 110a90 90 0 0 0-.7-11" />
      <text className="calibrate-arm-text" x="314" y="40" textAnchor="middle">
        {armLength}
      </text>
      <text className="calibrate-arm-text" x="398" y="126">
        {armAngle}
      </text>
      <text className="calibrate-arm-text" x="424" y="184">
        {mass}
      </text>
      <text className="calibrate-arm-text" x="402" y="236">
        {gravity}
      </text>
      <text className="calibrate-arm-word" x="330" y="148" textAnchor="end">
        forward
      </text>
      <text className="calibrate-arm-word" x="130" y="168">
        reverse
      </text>
      <text className="calibrate-arm-word" x="240" y="154" textAnchor="middle">
        axis
      </text>
    </svg>
  );
}
