import type { Drift, SessionReport } from '../../../shared-lib/run-sheet/session-model.ts';
import { REFERENCE_DRIFT_UNKNOWN, ZERO_DRIFT_UNKNOWN } from '../../../shared-lib/run-sheet/session-words.ts';
import { Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';

/** Whether the bench or the day itself moved while setups were compared. */
export function SessionDrift({ report: { zeroDrift, referenceDrift } }: { readonly report: SessionReport }) {
  return (
    <Panel title="Drift over the session">
      <DriftLine name="Zero" drift={zeroDrift} without={ZERO_DRIFT_UNKNOWN} />
      <DriftLine name="Reference tool" drift={referenceDrift} without={REFERENCE_DRIFT_UNKNOWN} />
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
