import { useState } from 'react';
import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import type { Listening } from '../../../shared-lib/amplifier/listening-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { readBaudRate } from '../amplifier-form.ts';
import { findSameForm, freeName, settingsFor } from '../profiles/adopt-profile.ts';
import { HeardFields } from './HeardFields.tsx';
import './listening.css';
import { heardSentence, isPushUseful, listeningSentence, triedSentence } from './listening-sentences.ts';
import { BestProposal, OtherProposals } from './Proposals.tsx';
import { RawLines } from './RawLines.tsx';

interface ListeningPanelProps {
  readonly listening: Listening;
  readonly profiles: readonly AmplifierProfile[];
  readonly onProfilesChanged: () => void;
  readonly onConnected: () => void;
  readonly onAdjust: (profile: AmplifierProfile) => void;
}

/** A port of which nothing is known: what comes, what it is taken for, and one press to take it. */
export function ListeningPanel({
  listening,
  profiles,
  onProfilesChanged,
  onConnected,
  onAdjust,
}: ListeningPanelProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const { path, state, problem, triedBaudRates } = listening;

  const adopt = (proposed: AmplifierProfile) =>
    run(async () => {
      let profile = findSameForm(proposed, profiles);
      if (profile === null) {
        const name = freeName(
          proposed.name,
          profiles.map((known) => known.name),
        );
        ({ profile } = await connection.request('saveProfile', {
          profile: { ...proposed, id: crypto.randomUUID(), name },
        }));
        onProfilesChanged();
      }
      await connection.request('connectAmplifier', settingsFor(path, proposed, profile));
      onConnected();
    });

  const proposing = {
    listening,
    isBusy,
    onUse: (profile: AmplifierProfile) => void adopt(profile),
    onAdjust,
  };
  return (
    <div className="listening">
      <div className="listening-head">
        <div className="listening-state">
          <StateShape shape={state === 'failed' ? 'fault' : state === 'probing' ? 'off' : 'live'} />
          <p>
            <span role="status">{listeningSentence(listening)}</span> {heardSentence(listening)}
          </p>
        </div>
        <Button onPress={() => void run(() => connection.request('stopListening', {}))}>
          Stop listening
        </Button>
      </div>
      {problem === null ? null : (
        <Notice kind={state === 'failed' ? 'fault' : 'caution'} live="alert">
          {problem.sentence}
        </Notice>
      )}
      <FailureNotice error={error} />
      {state === 'failed' && listening.lines.length === 0 ? null : <Heard {...proposing} />}
      {triedBaudRates.length === 0 ? null : (
        <section className="listening-rates" aria-label="Baud rates tried">
          <h3>Baud rates tried</h3>
          <ul className="listening-tried">
            {triedBaudRates.map((tried) => (
              <li key={tried.baudRate}>{triedSentence(tried)}</li>
            ))}
          </ul>
        </section>
      )}
      <ListenAgain
        isBusy={isBusy}
        onListen={(baudRate) => void run(() => connection.request('startListening', { path, baudRate }))}
      />
    </div>
  );
}

interface HeardProps {
  readonly listening: Listening;
  readonly isBusy: boolean;
  readonly onUse: (profile: AmplifierProfile) => void;
  readonly onAdjust: (profile: AmplifierProfile) => void;
}

function Heard({ listening, ...actions }: HeardProps) {
  const { lines, fields, proposals } = listening;
  return (
    <>
      <p className="listening-push">
        {isPushUseful(listening) ? 'Push the arm: the number that moves is the torque.' : '\u00a0'}
      </p>
      <div className="listening-columns">
        <RawLines lines={lines} />
        <BestProposal proposals={proposals} {...actions} />
      </div>
      <HeardFields fields={fields} />
      <OtherProposals proposals={proposals} {...actions} />
    </>
  );
}

interface ListenAgainProps {
  readonly isBusy: boolean;
  readonly onListen: (baudRate: number | null) => void;
}

function ListenAgain({ isBusy, onListen }: ListenAgainProps) {
  const [typed, setTyped] = useState('');
  const reading = readBaudRate(typed);
  const isEmpty = typed.trim() === '';
  const listen = () => {
    if (isEmpty) onListen(null);
    else if ('value' in reading) onListen(reading.value);
  };
  return (
    <form
      className="setup-add"
      onSubmit={(event) => {
        event.preventDefault();
        listen();
      }}
    >
      <QuantityField
        label="Only at this baud rate"
        typed={typed}
        onTyped={setTyped}
        parse={readBaudRate}
        placeholder="empty: the usual ones"
      />
      <Button type="submit" isPending={isBusy} isDisabled={!isEmpty && !('value' in reading)}>
        Listen again
      </Button>
    </form>
  );
}
