import { useEffect, useState } from 'react';
import type { CalibrationRun, RunProgress } from '../../../shared-lib/calibration/run-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Switch } from '../../ui/Toggles.tsx';

/** Between one reading and the next load, so that a person can follow. */
const HANDS_MS = 400;

export interface SimulatedHandsProps {
  readonly run: CalibrationRun;
  readonly progress: RunProgress | null;
}

/** On the simulated bench nobody can hang a weight; it is done from here, once or for each reading. */
export function SimulatedHands({ run, progress }: SimulatedHandsProps) {
  const connection = useConnection();
  const { run: act, isBusy, error } = useAction();
  const [isByThemselves, setIsByThemselves] = useState(false);
  const { id: runId, nextIndex } = run;
  const isRunning = run.state === 'running' && nextIndex !== null;
  const waitsForHands = progress?.phase === 'waitingForHands';

  useEffect(() => {
    if (!isByThemselves || !isRunning) return undefined;
    const timer = setTimeout(() => {
      void act(() =>
        waitsForHands
          ? connection.request('confirmHandling', { runId, index: nextIndex })
          : connection.request('hangSimulatedWeights', { runId, level: null }),
      );
    }, HANDS_MS);
    return () => clearTimeout(timer);
  }, [act, connection, isByThemselves, isRunning, nextIndex, runId, waitsForHands]);

  return (
    <div className="run-simulated">
      <div className="run-actions">
        <Button
          isDisabled={!isRunning || waitsForHands}
          isPending={isBusy}
          onPress={() => void act(() => connection.request('hangSimulatedWeights', { runId, level: null }))}
        >
          Hang it on the simulated bench
        </Button>
        <Switch isSelected={isByThemselves} onChange={setIsByThemselves}>
          Simulated hands do it by themselves
        </Switch>
      </div>
      <FailureNotice error={error} />
    </div>
  );
}
