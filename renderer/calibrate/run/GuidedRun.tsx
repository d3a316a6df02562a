import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { NewRun } from './NewRun.tsx';
import './run.css';
import { RunBoard } from './RunBoard.tsx';
import { RunOutcome } from './RunOutcome.tsx';
import { useOpenRun } from './use-open-run.ts';

/** A guided calibration from its setup to its result, whatever stands open on the bench. */
export function GuidedRun() {
  const { run, error } = useOpenRun();
  if (run === undefined) return <FailureNotice error={error} />;
  if (run === null) return <NewRun />;
  switch (run.state) {
    case 'running':
    case 'paused':
      return <RunBoard key={run.id} run={run} />;
    case 'complete':
      return <RunOutcome key={run.id} run={run} />;
    case 'accepted':
    case 'discarded':
      return <NewRun />;
  }
}
