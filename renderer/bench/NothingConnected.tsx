import { useLocation } from 'wouter';
import { useConnection, useSettings } from '../api-client/ConnectionContext.tsx';
import type { AmplifierSettings } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { useAction } from '../api-client/use-action.ts';
import { BACKUPS_ADDRESS } from '../setup/backup/backups-address.ts';
import { Button } from '../ui/Button.tsx';
import { EmptyState } from '../ui/EmptyState.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';

/** The Bench without an amplifier: the way back to the one that was set up, or what will be here and how to get it. */
export function NothingConnected() {
  const amplifier = useSettings()?.amplifier ?? null;
  return (
    <div className="bench-first">
      {amplifier === null ? <FirstStart /> : <ConnectAgain amplifier={amplifier} />}
    </div>
  );
}

function ConnectAgain({ amplifier }: { readonly amplifier: AmplifierSettings }) {
  const connection = useConnection();
  const [, navigate] = useLocation();
  const action = useAction();
  return (
    <EmptyState
      title="Amplifier not connected"
      actions={
        <>
          <Button
            look="primary"
            size="bench"
            isPending={action.isBusy}
            onPress={() => void action.run(() => connection.request('connectLastAmplifier', {}))}
          >
            Connect the amplifier
          </Button>
          <Button size="bench" onPress={() => navigate('/setup')}>
            Go to Setup
          </Button>
        </>
      }
    >
      <p>
        It was last on {amplifier.path}. Setup can connect it at each start; the simulated bench is there too.
      </p>
      <FailureNotice error={action.error} />
    </EmptyState>
  );
}

function FirstStart() {
  const connection = useConnection();
  const [, navigate] = useLocation();
  const action = useAction();
  return (
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
          <Button size="bench" onPress={() => navigate(BACKUPS_ADDRESS)}>
            Restore a backup
          </Button>
        </>
      }
    >
      <p>
        Here you will see the torque of a tool while you pull it, run timed trials forward and in reverse, and
        keep them. No amplifier is connected yet.
      </p>
      <p>
        The simulated bench needs no hardware. It is an invented tool on an invented transducer; everything it
        makes is marked “simulated”.
      </p>
      <FailureNotice error={action.error} />
    </EmptyState>
  );
}
