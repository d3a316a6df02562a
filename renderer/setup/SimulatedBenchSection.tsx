import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../ui/Panel.tsx';
import { AmplifierFacts } from './AmplifierFacts.tsx';

export function SimulatedBenchSection({ status }: { readonly status: BenchStatus }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const isSimulated = status.amplifier.source === 'simulated';
  return (
    <Panel
      title="Simulated bench"
      lead="A model of a tool, a joint and a transducer, to try the program without hardware. It writes lines as an amplifier would, and they take the same way through the program. It brings a calibration of its own, and everything recorded on it is marked “simulated”."
    >
      <ActionRow>
        {isSimulated ? (
          <Button
            onPress={() => void run(() => connection.request('disconnectAmplifier', {}))}
            isPending={isBusy}
          >
            Leave the simulated bench
          </Button>
        ) : (
          <Button
            onPress={() => void run(() => connection.request('connectSimulatedBench', {}))}
            isPending={isBusy}
          >
            Use the simulated bench
          </Button>
        )}
      </ActionRow>
      <FailureNotice error={error} />
      {isSimulated ? <AmplifierFacts amplifier={status.amplifier} /> : null}
    </Panel>
  );
}
