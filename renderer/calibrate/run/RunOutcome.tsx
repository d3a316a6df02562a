import { useState } from 'react';
import type { FitOverride, SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { AcceptRun } from '../result/AcceptRun.tsx';
import { FindingsList } from '../result/FindingsList.tsx';
import { FitOverrideDialog } from '../result/FitOverrideDialog.tsx';
import { ResultSummary, SensesView } from '../result/SensesView.tsx';
import { useArrivalFocus } from '../use-arrival-focus.ts';
import { DiscardRun } from './DiscardRun.tsx';
import { ReadingTable } from './ReadingTable.tsx';

/** All readings are taken: what came of them, and whether it is put to use. */
export function RunOutcome({ run }: { readonly run: CalibrationRun }) {
  const connection = useConnection();
  const arrivalRef = useArrivalFocus<HTMLDivElement>();
  const { unit } = useTorqueDisplay();
  const [overrides, setOverrides] = useState<readonly FitOverride[]>([]);
  const [changing, setChanging] = useState<SenseResult | null>(null);
  const evaluation = useRequest(
    'evaluateRun',
    { runId: run.id, overrides: [...overrides] },
    'calibrationRunChanged',
  );
  const action = useAction();
  const { result } = evaluation;
  const isStopped = result?.findings.some(({ severity }) => severity === 'stop') ?? true;
  const redo = (index: number) =>
    void action.run(() => connection.request('redoReading', { runId: run.id, index }));

  return (
    <>
      <div ref={arrivalRef} tabIndex={-1} className="calibrate-saved">
        <Notice kind="information" live="status">
          All {run.readings.length} readings are taken. Take the weights off. A reading can still be taken
          again.
          {run.isSimulated ? ' This run was made on the simulated bench.' : ''}
        </Notice>
      </div>
      <FailureNotice error={evaluation.error ?? action.error} />
      {result === null ? (
        evaluation.error === null ? (
          <p role="status">Computing the fit and its uncertainty.</p>
        ) : null
      ) : (
        <Panel title="What it comes to">
          <ResultSummary result={result} />
          <FindingsList findings={result.findings} label="Findings" />
        </Panel>
      )}
      <AcceptRun
        run={run}
        overrides={overrides}
        canAccept={!isStopped && evaluation.error === null && !evaluation.isLoading}
        otherActions={<DiscardRun run={run} />}
      />
      {result === null ? null : (
        <Panel title="Fit and uncertainty">
          <SensesView
            result={result}
            unit={unit}
            run={run}
            fitActions={(sense) => (
              <ActionRow>
                <Button onPress={() => setChanging(sense)}>Use another fit, {sense.sense}</Button>
              </ActionRow>
            )}
          />
        </Panel>
      )}
      <ReadingTable run={run} onRedo={redo} />
      {changing === null ? null : (
        <FitOverrideDialog
          result={changing}
          onDecide={(override) =>
            setOverrides((before) => [
              ...before.filter(({ sense }) => sense !== changing.sense),
              ...(override === null ? [] : [override]),
            ])
          }
          onClose={() => setChanging(null)}
        />
      )}
    </>
  );
}
