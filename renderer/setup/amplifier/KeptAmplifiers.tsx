import { useEffect, useState } from 'react';
import type { AmplifierProfile, KeptAmplifier } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import type { AmplifierStatus } from '../../../shared-lib/bench-status.ts';
import type { Transducer } from '../../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { keptFacts, keptLinkWords } from './kept-amplifier-sentences.ts';
import './kept-amplifiers.css';

interface KeptAmplifiersProps {
  readonly amplifier: AmplifierStatus;
  /** Of the transducer on the bench. */
  readonly transducerName: string | null;
  readonly profiles: readonly AmplifierProfile[];
}

/** Amplifiers that were connected before: one press brings one back, on whatever port it is now. */
export function KeptAmplifiers({ amplifier, transducerName, profiles }: KeptAmplifiersProps) {
  const { result, error, reload } = useRequest('listAmplifiers', {});
  const { result: transducerList, reload: reloadTransducers } = useRequest('listTransducers', {});
  const { amplifierId, portPath, link } = amplifier;
  // A connection changes the list: a new amplifier, another port, another time; so does another transducer on the bench.
  useEffect(reload, [reload, amplifierId, portPath, link, transducerName]);
  useEffect(reloadTransducers, [reloadTransducers, transducerName]);

  const kept = result?.amplifiers ?? [];
  if (kept.length === 0) return <FailureNotice error={error} />;
  return (
    <>
      <h3>Amplifiers of this bench</h3>
      <FailureNotice error={error} />
      <ul className="setup-kept" aria-label="Amplifiers of this bench">
        {kept.map((one) => (
          <KeptRow
            key={one.id}
            kept={one}
            amplifier={amplifier}
            profiles={profiles}
            transducers={transducerList?.transducers ?? []}
            onChanged={reload}
          />
        ))}
      </ul>
    </>
  );
}

interface KeptRowProps extends Omit<KeptAmplifiersProps, 'transducerName'> {
  readonly kept: KeptAmplifier;
  readonly transducers: readonly Transducer[];
  readonly onChanged: () => void;
}

function KeptRow({ kept, amplifier, profiles, transducers, onChanged }: KeptRowProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [shows, setShows] = useState<'row' | 'rename' | 'renamed' | 'forget'>('row');
  const isConnected = amplifier.source === 'serial' && amplifier.amplifierId === kept.id;
  const isOpen = isConnected && amplifier.link !== 'failed' && amplifier.link !== 'disconnected';
  const link = isConnected ? keptLinkWords(amplifier.link) : null;

  const connect = async () => {
    if (await run(() => connection.request('connectKeptAmplifier', { amplifierId: kept.id }))) onChanged();
  };
  const forget = async () => {
    if (await run(() => connection.request('forgetAmplifier', { amplifierId: kept.id }))) onChanged();
  };

  return (
    <li>
      <div className="setup-kept-text">
        <p>
          <strong>{kept.name}</strong>
          {link === null ? null : (
            <span className="kept-amplifier-link">
              <StateShape shape={link.shape} /> {link.word}
            </span>
          )}
        </p>
        <p className="setup-aside">{keptFacts(kept, profiles, transducers)}</p>
      </div>
      {shows === 'rename' ? (
        <RenameForm
          kept={kept}
          onDone={() => {
            setShows('renamed');
            onChanged();
          }}
          onCancel={() => setShows('renamed')}
        />
      ) : (
        <ActionRow>
          {isOpen ? (
            <Button
              aria-label={`Disconnect ${kept.name}`}
              onPress={() => void run(() => connection.request('disconnectAmplifier', {}))}
            >
              Disconnect
            </Button>
          ) : (
            <Button isPending={isBusy} aria-label={`Connect ${kept.name}`} onPress={() => void connect()}>
              Connect
            </Button>
          )}
          <Button
            look="quiet"
            aria-label={`Rename ${kept.name}`}
            autoFocus={shows === 'renamed'}
            onPress={() => setShows('rename')}
          >
            Rename
          </Button>
          <Button
            look="quiet"
            aria-label={`Forget ${kept.name}`}
            isDisabled={isOpen}
            onPress={() => setShows('forget')}
          >
            Forget
          </Button>
        </ActionRow>
      )}
      <FailureNotice error={error} />
      {/* Asked, because what is forgotten cannot be brought back by a press. */}
      <Dialog
        title={`Forget ${kept.name}?`}
        isOpen={shows === 'forget'}
        onClose={() => setShows('row')}
        actions={
          <>
            <Button look="primary" isPending={isBusy} onPress={() => void forget()}>
              Forget this amplifier
            </Button>
            <Button onPress={() => setShows('row')}>Leave it in the list</Button>
          </>
        }
      >
        <p>
          It is taken off the list with its port and its name. Trials and calibrations made with it keep what
          they know of it. Connecting it again puts it back as a new one.
        </p>
        <FailureNotice error={error} />
      </Dialog>
    </li>
  );
}

interface RenameFormProps {
  readonly kept: KeptAmplifier;
  readonly onDone: () => void;
  readonly onCancel: () => void;
}

function RenameForm({ kept, onDone, onCancel }: RenameFormProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [name, setName] = useState(kept.name);
  const isMissing = name.trim() === '';
  const save = async () => {
    if (isMissing) return;
    const isDone = await run(() =>
      connection.request('updateAmplifier', { amplifierId: kept.id, name: name.trim() }),
    );
    if (isDone) onDone();
  };
  return (
    <form
      className="setup-add"
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <TextField
        label="Name of the amplifier"
        value={name}
        onChange={setName}
        maxLength={80}
        problem={isMissing ? 'This is needed.' : (error?.message ?? null)}
        autoFocus
      />
      <Button type="submit" isPending={isBusy} isDisabled={isMissing}>
        Save the name
      </Button>
      <Button look="quiet" onPress={onCancel}>
        Leave it
      </Button>
    </form>
  );
}
