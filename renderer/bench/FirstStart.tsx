import { useLocation } from 'wouter';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { Button } from '../ui/Button.tsx';
import { EmptyState } from '../ui/EmptyState.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';

/** The Bench without an amplifier: what will be here, and the two ways to it. */
export function FirstStart() {
  const connection = useConnection();
  const [, navigate] = useLocation();
  const action = useAction();
  return (
    <div className="bench-first">
      <EmptyState
        title="Live torque will be here"
        actions={
          <>
            <Button
              look="primary"
              size="bench"
              isPending={action.isBusy}
              onPress={() => void action.run(() => connection.request('connectSimulatedBench', {}))}
            >
              Try it on the simulated bench
            </Button>
            <Button size="bench" onPress={() => navigate('/setup')}>
              Connect an amplifier
            </Button>
          </>
        }
      >
        <p>
          Here you will see the torque of a tool while you pull it, run timed trials forward and in reverse,
          and keep them. No amplifier is connected yet.
        </p>
        <p>
          The simulated bench needs no hardware. It is an invented tool on an invented transducer; everything
          it makes is marked “simulated”.
        </p>
        <FailureNotice error={action.error} />
      </EmptyState>
    </div>
  );
}
