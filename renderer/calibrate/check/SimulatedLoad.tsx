import { useState } from 'react';
import type { CheckMeans } from '../../../shared-lib/calibration/daily-check-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';

/** The hands of the simulated bench, where there is nobody to hang a weight or to switch a shunt on. */
export function SimulatedLoad({ means }: { readonly means: CheckMeans }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [isLoaded, setIsLoaded] = useState(false);
  const isShunt = means.kind === 'shunt';
  const change = () =>
    run(async () => {
      await connection.request('loadSimulatedCheck', { means: isLoaded ? null : means });
      setIsLoaded(!isLoaded);
    });
  return (
    <>
      <div>
        <Button isPending={isBusy} onPress={() => void change()}>
          {isLoaded
            ? isShunt
              ? 'Switch the simulated shunt off'
              : 'Take it off the simulated bench'
            : isShunt
              ? 'Switch the simulated shunt on'
              : 'Hang it on the simulated bench'}
        </Button>
      </div>
      <FailureNotice error={error} />
    </>
  );
}
