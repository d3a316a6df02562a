import { useRef } from 'react';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useGuidedPush } from '../bench/use-guided-push.ts';
import { Button } from '../ui/Button.tsx';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Notice } from '../ui/Notice.tsx';
import { ActionRow, FieldGrid } from '../ui/Panel.tsx';
import { formatDateTime } from '../ui/date-time.ts';
import type { QuantityRule } from '../ui/read-quantity.ts';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { useFocusWhenGone } from '../ui/use-focus-when-gone.ts';
import { SavedQuantityField } from './SavedQuantityField.tsx';
import { SavedTextField } from './SavedTextField.tsx';

interface TransducerFormProps {
  readonly transducer: Transducer;
  readonly isInUse: boolean;
  readonly canConfirmSense: boolean;
  readonly onSaved: () => void;
}

export function TransducerForm({ transducer, isInUse, canConfirmSense, onSaved }: TransducerFormProps) {
  const connection = useConnection();
  const { unit } = useTorqueDisplay();
  const { run, error } = useAction();
  const torqueRule: QuantityRule<'torque'> = { kind: 'torque', unit, min: 0, max: 1e6, isMinExcluded: true };

  const save = async (change: Omit<RequestParams<'updateTransducer'>, 'id'>): Promise<boolean> => {
    const isDone = await run(() => connection.request('updateTransducer', { id: transducer.id, ...change }));
    if (isDone) onSaved();
    return isDone;
  };

  return (
    <>
      <FieldGrid>
        <SavedTextField
          label="Name"
          saved={transducer.name}
          save={(name) => save({ name })}
          error={error}
          maxLength={80}
          isRequired
        />
        <SavedQuantityField
          label="Transducer capacity"
          rule={torqueRule}
          saved={transducer.capacityNm}
          save={(capacityNm) => save({ capacityNm })}
          help="As rated by its maker; N·m or ft·lbf may be typed"
          placeholder={unit === 'Nm' ? 'such as 1000 N·m' : 'such as 750 ft·lbf'}
        />
        <SavedQuantityField
          label="Rig limit"
          rule={torqueRule}
          saved={transducer.rigLimitNm}
          save={(rigLimitNm) => save({ rigLimitNm })}
          help="What the weakest part of the rig stands: frame, bolts, sockets"
          placeholder={unit === 'Nm' ? 'such as 900 N·m' : 'such as 650 ft·lbf'}
        />
        <SavedTextField
          label="Rig revision"
          saved={transducer.rigRevision}
          save={(rigRevision) => save({ rigRevision })}
          error={error}
          maxLength={40}
          placeholder="such as B, or 2026-03"
          help="Change it whenever what holds the transducer changes: trials of different revisions are not compared"
        />
      </FieldGrid>
      <ChoiceField
        label="After a pull the rig"
        choices={[
          { key: 'holds', label: 'holds the torque' },
          { key: 'releases', label: 'releases by itself' },
        ]}
        selected={transducer.rigUnloading}
        onSelect={(rigUnloading) => void save({ rigUnloading })}
        help="A bolt that stays tight holds; the program then asks for it to be loosened before the zero is checked."
      />
      <FailureNotice error={error} />
      {isInUse ? <SenseRow transducer={transducer} canConfirm={canConfirmSense} onSaved={onSaved} /> : null}
    </>
  );
}

interface SenseRowProps {
  readonly transducer: Transducer;
  readonly canConfirm: boolean;
  readonly onSaved: () => void;
}

function SenseRow({ transducer, canConfirm, onSaved }: SenseRowProps) {
  const { isWatching, error, begin, giveUp } = useGuidedPush();
  const confirmRef = useRef<HTMLButtonElement>(null);
  // "Not now" goes away with the push that it gives up.
  const watch = useFocusWhenGone(() => confirmRef.current);
  const confirm = async () => {
    if (await begin()) onSaved();
  };
  return (
    <>
      <DataList label="Sense">
        <DataRow name="Sense" note={senseNote(transducer)}>
          {transducer.senseConfirmedAt === null
            ? 'not confirmed yet'
            : `confirmed ${formatDateTime(transducer.senseConfirmedAt)}`}
        </DataRow>
      </DataList>
      {isWatching ? (
        <Notice kind="information" live="alert">
          Push the bar clockwise now, seen from behind the tool. It is enough to be felt by the transducer;
          the program waits 15 s for it.
        </Notice>
      ) : null}
      <FailureNotice error={error} />
      <div {...watch}>
        <ActionRow>
          <Button
            ref={confirmRef}
            onPress={() => void confirm()}
            isPending={isWatching}
            isDisabled={!canConfirm}
          >
            {transducer.senseConfirmedAt === null
              ? 'Confirm the sense by a push'
              : 'Confirm it again by a push'}
          </Button>
          {isWatching ? <Button onPress={giveUp}>Not now</Button> : null}
          {canConfirm ? null : <span className="setup-aside">Connect the amplifier first.</span>}
        </ActionRow>
      </div>
    </>
  );
}

function senseNote({ senseConfirmedAt, senseSign }: Transducer): string {
  if (senseConfirmedAt === null) return 'Forward is clockwise, seen from behind the tool.';
  return senseSign === 1
    ? 'A clockwise push reads positive.'
    : 'A clockwise push reads negative and is turned round, as a reaction arm needs it.';
}

/** The simulated transducer is part of the model, so there is nothing to set. */
export function SimulatedTransducerFacts({ transducer }: { readonly transducer: Transducer }) {
  const torque = useTorqueDisplay();
  const shown = (torqueNm: number | null) => (torqueNm === null ? 'not given' : torque.format(torqueNm));
  return (
    <div className="setup-transducer">
      <h3>
        {transducer.name}
        <span className="setup-mark">simulated, in use</span>
      </h3>
      <DataList label="Simulated transducer">
        <DataRow name="Transducer capacity" kind="figure">
          {shown(transducer.capacityNm)}
        </DataRow>
        <DataRow name="Rig limit" kind="figure">
          {shown(transducer.rigLimitNm)}
        </DataRow>
        <DataRow name="After a pull the rig">
          {transducer.rigUnloading === 'holds' ? 'holds the torque' : 'releases by itself'}
        </DataRow>
      </DataList>
    </div>
  );
}
