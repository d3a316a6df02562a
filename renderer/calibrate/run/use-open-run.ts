import { useEffect, useState } from 'react';
import type { AppError } from '../../../shared-lib/app-error.ts';
import type { CalibrationRun, RunProgress } from '../../../shared-lib/calibration/run-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';

export interface OpenRun {
  /** Undefined until it is known; null: none is open. */
  readonly run: CalibrationRun | null | undefined;
  readonly error: AppError | null;
}

/** The run that is open on the bench, in every window as it stands in the services. */
export function useOpenRun(): OpenRun {
  const { result, error } = useRequest('getRun', {}, 'calibrationRunChanged');
  return { run: result?.run, error };
}

/** How the reading that is asked for stands; null before the first that is told of this run. */
export function useRunProgress(runId: string): RunProgress | null {
  const connection = useConnection();
  const [progress, setProgress] = useState<RunProgress | null>(null);
  useEffect(() => connection.subscribe('calibrationProgress', setProgress), [connection]);
  return progress?.runId === runId ? progress : null;
}
