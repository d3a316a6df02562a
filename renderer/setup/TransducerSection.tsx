import { useRef, useState } from 'react';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../ui/Panel.tsx';
import { TextField } from '../ui/TextField.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
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
      lead="Capacity and rig limit guard both while a tool pulls: a reading above the lower of the two ends the trial as an overload. The onset of a trial is found from the capacity too. Each transducer has calibrations of its own."
    >
      <FailureNotice error={error} />
      {real.map((transducer) => (
        <TransducerItem
          key={transducer.id}
          transducer={transducer}
          isInUse={transducer.id === inUse?.id}
          isOnlyOne={real.length === 1}
          canConfirmSense={transducer.id === inUse?.id && status.amplifier.link === 'connected'}
          onSaved={reload}
        />
      ))}
      {inUse?.isSimulated === true ? <SimulatedTransducerFacts transducer={inUse} /> : null}
      <AddTransducer onAdded={reload} />
    </Panel>
  );
}

interface TransducerItemProps {
  readonly transducer: Transducer;
  readonly isInUse: boolean;
  readonly isOnlyOne: boolean;
  readonly canConfirmSense: boolean;
  readonly onSaved: () => void;
}

/** The one in use with its form; of the others a line, with the form at hand. */
function TransducerItem({ transducer, isInUse, isOnlyOne, canConfirmSense, onSaved }: TransducerItemProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [isOpened, setIsOpened] = useState(false);
  const nameRef = useRef<HTMLHeadingElement>(null);
  const isShownWhole = isInUse || isOnlyOne;
  const activate = async () => {
    const params = { transducerId: transducer.id };
    if (!(await run(() => connection.request('activateTransducer', params)))) return;
    onSaved();
    // Its button goes, as there is nothing more to press.
    nameRef.current?.focus();
  };
  return (
    <div className="setup-transducer">
      <div className="setup-transducer-head">
        <div>
          <h3 ref={nameRef} tabIndex={-1}>
            {transducer.name}
            {isInUse ? <span className="setup-mark">in use</span> : null}
          </h3>
          {isShownWhole || isOpened ? null : <TransducerLine transducer={transducer} />}
        </div>
        {isInUse ? null : (
          <ActionRow>
            <Button
              isPending={isBusy}
              aria-label={`Put ${transducer.name} on the bench`}
              onPress={() => void activate()}
            >
              Put it on the bench
            </Button>
            {isOnlyOne ? null : (
              <Button
                look="quiet"
                aria-expanded={isOpened}
                aria-label={isOpened ? `Close ${transducer.name}` : `Change ${transducer.name}`}
                onPress={() => setIsOpened(!isOpened)}
              >
                {isOpened ? 'Close' : 'Change'}
              </Button>
            )}
          </ActionRow>
        )}
      </div>
      <FailureNotice error={error} />
      {isShownWhole || isOpened ? (
        <TransducerForm
          transducer={transducer}
          isInUse={isInUse}
          canConfirmSense={canConfirmSense}
          onSaved={onSaved}
        />
      ) : null}
    </div>
  );
}

function TransducerLine({ transducer }: { readonly transducer: Transducer }) {
  const torque = useTorqueDisplay();
  const shown = (torqueNm: number | null) => (torqueNm === null ? 'not given' : torque.format(torqueNm));
  const { capacityNm, rigLimitNm, activeCalibrationId } = transducer;
  return (
    <p className="setup-aside">
      Capacity {shown(capacityNm)} · rig limit {shown(rigLimitNm)} ·{' '}
      {activeCalibrationId === null ? 'not calibrated' : 'calibrated'}
    </p>
  );
}

function AddTransducer({ onAdded }: { readonly onAdded: () => void }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [name, setName] = useState('');
  const add = async () => {
    const params = { name: name.trim() };
    if (params.name === '' || !(await run(() => connection.request('addTransducer', params)))) return;
    setName('');
    onAdded();
  };
  return (
    <>
      <form
        className="setup-add setup-transducer-add"
        onSubmit={(event) => {
          event.preventDefault();
          void add();
        }}
      >
        <TextField
          label="Another transducer"
          value={name}
          onChange={setName}
          placeholder="its name, such as 2 kN·m flange"
          maxLength={80}
        />
        <Button type="submit" isPending={isBusy} isDisabled={name.trim() === ''}>
          Add this transducer
        </Button>
      </form>
      <FailureNotice error={error} />
    </>
  );
}
