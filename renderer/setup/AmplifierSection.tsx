import { useEffect, useRef, useState } from 'react';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { Settings } from '../../shared-lib/api-contract.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { type ActionState, useAction } from '../api-client/use-action.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../ui/Panel.tsx';
import { AmplifierFacts } from './AmplifierFacts.tsx';
import { KeptAmplifiers } from './amplifier/KeptAmplifiers.tsx';
import { KnownFormFields } from './amplifier/KnownFormFields.tsx';
import { type AmplifierForm, amplifierFormFrom, readAmplifierForm } from './amplifier-form.ts';
import { ListeningPanel } from './listening/ListeningPanel.tsx';
import { useListening } from './listening/use-listening.ts';
import { PortChoice } from './PortChoice.tsx';
import type { ProfileList } from './profiles/use-profiles.ts';

interface AmplifierSectionProps {
  readonly status: BenchStatus;
  readonly settings: Settings;
  readonly profiles: ProfileList;
  /** Opens the editor with a profile that was proposed for this port. */
  readonly onAdjust: (profile: AmplifierProfile, path: string) => void;
}

export function AmplifierSection({ status, settings, profiles, onAdjust }: AmplifierSectionProps) {
  const connection = useConnection();
  const listening = useListening();
  const { run, error } = useAction();
  // Here, because the form makes room while the port is listened to, and comes back with what was typed and what failed.
  const [draft, setDraft] = useState<AmplifierForm | null>(null);
  const connecting = useAction();
  const { amplifier } = status;
  const isListening = listening !== null;
  const partRef = useRef<HTMLDivElement>(null);
  const wasListening = useRef(isListening);
  useEffect(() => {
    // The button that was pressed has gone with its part; whoever works by keyboard goes on in the one that came.
    const hasChanged = wasListening.current !== isListening;
    wasListening.current = isListening;
    if (hasChanged && document.activeElement === document.body) partRef.current?.focus();
  }, [isListening]);

  const adoptMeasuredRate = (nominalRateHz: number) => {
    const stored = settings.amplifier;
    if (stored === null) return;
    void run(() => connection.request('connectAmplifier', { ...stored, nominalRateHz }));
  };

  return (
    <Panel
      title="Amplifier"
      lead="The load-cell amplifier on a serial port. It sends one line of text per sample; the profile says what stands where in a line."
    >
      <KeptAmplifiers
        amplifier={amplifier}
        transducerName={status.transducer?.name ?? null}
        profiles={profiles.all}
      />
      <div ref={partRef} tabIndex={-1} className="setup-part">
        {listening === null ? (
          <ConnectForm
            status={status}
            settings={settings}
            profiles={profiles}
            draft={draft}
            onDraft={setDraft}
            action={connecting}
          />
        ) : (
          <ListeningPanel
            listening={listening}
            profiles={profiles.all}
            onProfilesChanged={profiles.reload}
            onConnected={() => setDraft(null)}
            onAdjust={(profile) => onAdjust(profile, listening.path)}
          />
        )}
      </div>
      <FailureNotice error={error} />
      {amplifier.source === 'serial' && listening === null ? (
        <AmplifierFacts amplifier={amplifier} onUseMeasuredRate={adoptMeasuredRate} />
      ) : null}
    </Panel>
  );
}

interface ConnectFormProps extends Omit<AmplifierSectionProps, 'onAdjust'> {
  /** Null: what is stored stands in the fields. */
  readonly draft: AmplifierForm | null;
  readonly onDraft: (draft: AmplifierForm | null) => void;
  readonly action: ActionState;
}

function ConnectForm({ status, settings, profiles, draft, onDraft, action }: ConnectFormProps) {
  const connection = useConnection();
  const { run, isBusy, error } = action;
  const form = draft ?? amplifierFormFrom(settings.amplifier, profiles.all);
  const { amplifier } = status;
  const isOpen = amplifier.source === 'serial' && amplifier.link !== 'failed';
  if (form === null) return <FailureNotice error={profiles.error} />;

  const entered = readAmplifierForm(form);
  const path = form.path.trim();
  const connect = async () => {
    if (entered !== null && (await run(() => connection.request('connectAmplifier', entered)))) {
      onDraft(null);
    }
  };
  return (
    <>
      <h3>{isOpen ? 'Port and line form' : 'Connect an amplifier'}</h3>
      <PortChoice path={form.path} onPath={(typed) => onDraft({ ...form, path: typed })} />
      <KnownFormFields form={form} profiles={profiles.all} onForm={onDraft} />
      <ActionRow>
        <Button
          look={isOpen ? 'plain' : 'primary'}
          onPress={() => void connect()}
          isDisabled={entered === null}
          isPending={isBusy}
        >
          {isOpen ? 'Connect again with these' : 'Connect this amplifier'}
        </Button>
        <Button
          onPress={() => void run(() => connection.request('startListening', { path, baudRate: null }))}
          isDisabled={path === ''}
          isPending={isBusy}
        >
          Listen: I do not know its lines
        </Button>
        {/* A kept one has its own in the list above. */}
        {isOpen && amplifier.amplifierId === null ? (
          <Button onPress={() => void run(() => connection.request('disconnectAmplifier', {}))}>
            Disconnect
          </Button>
        ) : null}
      </ActionRow>
      <p className="setup-aside">
        Listening needs the port only: the program tries the usual baud rates, shows the raw lines and
        proposes how to read them.{isOpen ? ' It ends the connection first.' : ''}
      </p>
      {/* A failed opening stands in the status too, where it outlives a reload. */}
      <FailureNotice error={error?.message === amplifier.problem?.sentence ? null : error} />
    </>
  );
}
