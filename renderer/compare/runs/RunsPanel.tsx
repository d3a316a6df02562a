import { useState } from 'react';
import { useLocation } from 'wouter';
import type { Comparison } from '../../../shared-lib/comparison/comparison-model.ts';
import { curveColorIndex } from '../../live-curve/curve-style.ts';
import { Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { Switch } from '../../ui/Toggles.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { gateSentence } from '../../../shared-lib/run-sheet/session-words.ts';
import { endLabel } from '../curves/curve-sentences.ts';
import { type SideNames } from '../../../shared-lib/comparison/words/compare-sentences.ts';
import { measureDisplay, measureName } from '../../../shared-lib/comparison/words/measure-choices.ts';
import { type RunOwner, runPoints } from '../../../shared-lib/comparison/words/run-points.ts';
import { RunPlot } from './RunPlot.tsx';
import { runsSummary } from '../../../shared-lib/comparison/words/run-sentences.ts';
import './runs.css';
import { RunTable } from './RunTable.tsx';

interface RunsPanelProps {
  readonly comparison: Comparison;
  readonly names: SideNames;
}

/** Every run in the order of time, so that a drift or an outlier is seen and not averaged away. */
export function RunsPanel({ comparison, names }: RunsPanelProps) {
  const { measure, a, b, others, referenceDrift, gate, trials } = comparison;
  const torque = useTorqueDisplay();
  const [, navigate] = useLocation();
  const [hasOthers, setHasOthers] = useState(false);
  const display = measureDisplay(measure, torque);
  const points = runPoints(comparison, hasOthers);
  const canHaveOthers = runPoints(comparison, true).some(({ owner }) => owner === 'other');
  const summary = runsSummary(points, names);
  const owners = [
    { owner: 'a', label: endLabel('a', names), color: curveColorIndex(a.contender.toolName) + 1 },
    { owner: 'b', label: endLabel('b', names), color: curveColorIndex(b.contender.toolName) + 1 },
    { owner: 'reference', label: 'Reference pulls', color: null },
    { owner: 'other', label: 'Other setups', color: null },
  ] as const satisfies readonly { owner: RunOwner; label: string; color: number | null }[];
  const present = owners.filter(({ owner }) => points.some((point) => point.owner === owner));
  return (
    <Panel title="Runs in time order" lead={summary}>
      {referenceDrift.map(({ sessionId, drift }) => (
        <p key={sessionId} className="runs-drift">
          {drift.isFlagged ? <StateShape shape="caution" /> : null}
          <span>
            {drift.isFlagged ? <strong>The day drifted. </strong> : null}
            {drift.sentence}
          </span>
        </p>
      ))}
      {referenceDrift.length === 0 ? (
        <p>No reference tool was pulled in these sessions, so a drift of bench or day would not show.</p>
      ) : null}
      {canHaveOthers ? (
        <Switch isSelected={hasOthers} onChange={setHasOthers}>
          Also the other setups of this step, which the scatter was taken from ({others.length})
        </Switch>
      ) : null}
      {trials.length === 0 ? null : (
        <figure className="runs-figure">
          <RunPlot
            points={points}
            toShown={display.toShown}
            yTitle={`${measureName(measure, torque)}, ${display.unitLabel}`}
            summary={summary}
            owners={present}
            onOpen={(trialId) => navigate(`/logbook/${trialId}`)}
          />
        </figure>
      )}
      <p className="compare-soft">
        Filled: counts. Hollow: left out. Cross at the foot: no value. A click on a run opens it in the
        Logbook. {gateSentence(gate)}
      </p>
      <RunTable points={points} comparison={comparison} names={names} />
    </Panel>
  );
}
