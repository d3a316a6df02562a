import { useState } from 'react';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { Settings } from '../../shared-lib/api-contract.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow, FieldGrid, Panel } from '../ui/Panel.tsx';
import { QuantityField } from '../ui/QuantityField.tsx';
import { SelectField } from '../ui/SelectField.tsx';
import { AmplifierFacts } from './AmplifierFacts.tsx';
import {
  type AmplifierForm,
  amplifierFormFrom,
  readAmplifierForm,
  readBaudRate,
  readConverterBits,
  readNominalRate,
  withProfile,
} from './amplifier-form.ts';
import { PortChoice } from './PortChoice.tsx';

interface AmplifierSectionProps {
  readonly status: BenchStatus;
  readonly settings: Settings;
}

export function AmplifierSection({ status, settings }: AmplifierSectionProps) {
  const connection = useConnection();
  const { result, error: listError } = useRequest('listProfiles', {});
  const { run, isBusy, error } = useAction();
  const [draft, setDraft] = useState<AmplifierForm | null>(null);
  const profiles = result?.profiles ?? [];
  const form = draft ?? amplifierFormFrom(settings.amplifier, profiles);
  const { amplifier } = status;
  const isSerial = amplifier.source === 'serial';
  const isOpen = isSerial && amplifier.link !== 'failed';
  const entered = form === null ? null : readAmplifierForm(form);

  const connect = async () => {
    if (entered !== null && (await run(() => connection.request('connectAmplifier', entered)))) {
      setDraft(null);
    }
  };
  const adoptMeasuredRate = (nominalRateHz: number) => {
    const stored = settings.amplifier;
    if (stored === null) return;
    void run(() => connection.request('connectAmplifier', { ...stored, nominalRateHz })).then((isDone) => {
      if (isDone) setDraft(null);
    });
  };

  return (
    <Panel
      title="Amplifier"
      lead="The load-cell amplifier on a serial port. It sends one line of text per sample; the profile says what stands where in a line."
    >
      {form === null ? (
        <FailureNotice error={listError} />
      ) : (
        <>
          <PortChoice path={form.path} onPath={(path) => setDraft({ ...form, path })} />
          <ProfileFields form={form} profiles={profiles} onForm={setDraft} />
          <ActionRow>
            <Button
              look={isOpen ? 'plain' : 'primary'}
              onPress={() => void connect()}
              isDisabled={entered === null}
              isPending={isBusy}
            >
              {isOpen ? 'Connect again with these' : 'Connect this amplifier'}
            </Button>
            {isOpen ? (
              <Button onPress={() => void run(() => connection.request('disconnectAmplifier', {}))}>
                Disconnect
              </Button>
            ) : null}
          </ActionRow>
          {/* A failed opening stands in the status too, where it outlives a reload. */}
          <FailureNotice error={error?.message === amplifier.problem?.sentence ? null : error} />
        </>
      )}
      {isSerial ? (
        <AmplifierFacts amplifier={status.amplifier} onUseMeasuredRate={adoptMeasuredRate} />
      ) : null}
    </Panel>
  );
}

interface ProfileFieldsProps {
  readonly form: AmplifierForm;
  readonly profiles: readonly AmplifierProfile[];
  readonly onForm: (form: AmplifierForm) => void;
}

function ProfileFields({ form, profiles, onForm }: ProfileFieldsProps) {
  const chosen = profiles.find((profile) => profile.id === form.profileId);
  return (
    <>
      <div className="setup-profile">
        <SelectField
          label="What a line holds"
          options={profiles.map(({ id, name, example }) => ({
            key: id,
            label: name,
            note: `for instance ${example}`,
          }))}
          selected={form.profileId}
          onSelect={(id) => {
            const profile = profiles.find((candidate) => candidate.id === id);
            if (profile !== undefined) onForm(withProfile(form, chosen, profile));
          }}
        />
        {chosen === undefined ? null : (
          <p className="setup-example">
            <span>Such a line</span> <code>{chosen.example}</code>
          </p>
        )}
      </div>
      <FieldGrid>
        <QuantityField
          label="Baud rate"
          typed={form.baudRate}
          onTyped={(baudRate) => onForm({ ...form, baudRate })}
          parse={readBaudRate}
          isRequired
        />
        <QuantityField
          label="Nominal rate"
          typed={form.nominalRate}
          onTyped={(nominalRate) => onForm({ ...form, nominalRate })}
          parse={readNominalRate}
          help="Samples per second, as the amplifier is set"
          isRequired
        />
        <QuantityField
          label="Converter bits"
          typed={form.converterBits}
          onTyped={(converterBits) => onForm({ ...form, converterBits })}
          parse={readConverterBits}
          help="Tells a reading at the end of its range"
          isRequired
        />
      </FieldGrid>
    </>
  );
}
