import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { useRequest } from '../api-client/use-request.ts';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Panel } from '../ui/Panel.tsx';
import { SimulatedTransducerFacts, TransducerForm } from './TransducerForm.tsx';

export function TransducerSection({ status }: { readonly status: BenchStatus }) {
  const { result, error, reload } = useRequest('listTransducers', {});
  const inUse = status.transducer;
  // The status is newer than the list for the transducer that is in use.
  const transducers = (result?.transducers ?? (inUse === null ? [] : [inUse])).map((transducer) =>
    transducer.id === inUse?.id ? inUse : transducer,
  );
  const real = transducers.filter(({ isSimulated }) => !isSimulated);
  return (
    <Panel
      title="Transducer and rig"
      lead="Capacity and rig limit guard both while a tool pulls: a reading above the lower of the two ends the trial as an overload. The onset of a trial is found from the capacity too."
    >
      <FailureNotice error={error} />
      {real.map((transducer) => (
        <TransducerForm
          key={transducer.id}
          transducer={transducer}
          isInUse={transducer.id === inUse?.id}
          canConfirmSense={transducer.id === inUse?.id && status.amplifier.link === 'connected'}
          onSaved={reload}
        />
      ))}
      {inUse?.isSimulated === true ? <SimulatedTransducerFacts transducer={inUse} /> : null}
    </Panel>
  );
}
