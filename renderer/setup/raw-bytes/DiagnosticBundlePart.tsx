import { useState } from 'react';
import type { DiagnosticBundle } from '../../../shared-lib/api-contract.ts';
import type { AmplifierStatus } from '../../../shared-lib/bench-status.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import { formatBytes } from './capture-sentences.ts';
import './raw-bytes.css';

/** One file for whoever helps to find a fault; whether raw bytes go with it is asked first. */
export function DiagnosticBundlePart({ amplifier }: { readonly amplifier: AmplifierStatus }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [isAsking, setIsAsking] = useState(false);
  const [bundle, setBundle] = useState<DiagnosticBundle | null>(null);
  const doBytesFlow =
    amplifier.source !== 'none' && amplifier.link !== 'disconnected' && amplifier.link !== 'failed';
  const make = async (includeRawBytes: boolean) => {
    const isDone = await run(async () => {
      setBundle(await connection.request('makeDiagnosticBundle', { includeRawBytes }));
    });
    if (isDone) setIsAsking(false);
  };
  return (
    <div className="bundle">
      <h3>Diagnostic bundle</h3>
      <p>
        One ZIP file with what helps to find a fault: log, versions, profile and the last faults. It stays on
        this computer until you pass it on.
      </p>
      <ActionRow>
        <Button onPress={() => setIsAsking(true)}>Make a diagnostic bundle</Button>
      </ActionRow>
      <div role="status" className="setup-status">
        {bundle === null ? null : <BundleContent bundle={bundle} />}
      </div>
      <Dialog
        title="Include the last minute of raw bytes?"
        isOpen={isAsking}
        onClose={() => setIsAsking(false)}
        actions={
          <>
            <Button
              look={doBytesFlow ? 'primary' : 'plain'}
              isDisabled={!doBytesFlow}
              isPending={isBusy}
              onPress={() => void make(true)}
            >
              Make it with raw bytes
            </Button>
            <Button isPending={isBusy} onPress={() => void make(false)}>
              Make it without
            </Button>
            <Button look="quiet" onPress={() => setIsAsking(false)}>
              Cancel
            </Button>
          </>
        }
      >
        <p>
          They are what the amplifier sent in the last minute, as it came: the readings, and whatever else the
          device says of itself, such as a serial number. With them a fault of the lines can be replayed
          elsewhere.
        </p>
        {doBytesFlow ? null : <p>Nothing is connected now, so there are none.</p>}
        <FailureNotice error={error} />
      </Dialog>
    </div>
  );
}

function BundleContent({ bundle: { path, entries } }: { readonly bundle: DiagnosticBundle }) {
  return (
    <>
      <p>
        The bundle is written: <code className="setup-line">{path}</code>
      </p>
      <p>
        Nothing personal is in it but what is listed here: the names of folders and of the user are taken out.
      </p>
      <DataList label="What is in the bundle">
        {entries.map(({ name, bytes, holds }) => (
          <DataRow key={name} name={name} note={holds}>
            {formatBytes(bytes)}
          </DataRow>
        ))}
      </DataList>
    </>
  );
}
