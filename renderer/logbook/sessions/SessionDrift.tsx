import type { Drift, SessionReport } from '../../../shared-lib/run-sheet/session-model.ts';
import { Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';

/** Whether the bench or the day itself moved while setups were compared. */
export function SessionDrift({ report: { zeroDrift, referenceDrift } }: { readonly report: SessionReport }) {
  return (
    <Panel title="Drift over the session">
      <DriftLine name="Zero" drift={zeroDrift} without="Too few trials to tell whether the zero drifted." />
      <DriftLine
        name="Reference tool"
        drift={referenceDrift}
        without="No reference tool was pulled often enough, so a drift of tool, rig or bench over the day would not show."
      />
    </Panel>
  );
}

interface DriftLineProps {
  readonly name: string;
  readonly drift: Drift | null;
  readonly without: string;
}

function DriftLine({ name, drift, without }: DriftLineProps) {
  return (
    <div className="session-drift">
      <h3>
        {drift?.isFlagged === true ? <StateShape shape="caution" /> : null}
        {name}
        {drift?.isFlagged === true ? ': drifted' : ''}
      </h3>
      <p>{drift?.sentence ?? without}</p>
    </div>
  );
}
