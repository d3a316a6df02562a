import { useState } from 'react';
import type { RequestParams } from '../../../shared-lib/api-contract.ts';
import type { OverlayState } from '../../../shared-lib/overlay/overlay-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { readPort } from './overlay-words.ts';

interface OverlayAddressProps {
  readonly state: OverlayState;
  readonly onChange: (changes: RequestParams<'setOverlay'>) => void;
}

type Copied = 'yes' | 'refused' | null;

/** The address for the capture program, as text too: not every browser lets a page copy. */
export function OverlayAddress({ state, onChange }: OverlayAddressProps) {
  const { url, settings } = state;
  const connection = useConnection();
  const action = useAction();
  const [copied, setCopied] = useState<Copied>(null);
  const copy = (text: string): void => {
    navigator.clipboard.writeText(text).then(
      () => setCopied('yes'),
      () => setCopied('refused'),
    );
  };
  return (
    <>
      {url === null ? null : (
        <div className="overlay-address">
          <p className="ui-label" id="overlay-address">
            Address
          </p>
          <code aria-labelledby="overlay-address">{url}</code>
          <div className="overlay-address-actions">
            <Button look="primary" onPress={() => copy(url)}>
              Copy the address
            </Button>
            <Button
              isPending={action.isBusy}
              onPress={() => {
                setCopied(null);
                void action.run(() => connection.request('renewOverlayAddress', {}));
              }}
            >
              Make another address
            </Button>
          </div>
          <p role="status" className="ui-help">
            {copied === 'yes' ? 'Copied.' : ''}
            {copied === 'refused'
              ? 'This browser does not let the page copy. Mark the address above and copy it by hand.'
              : ''}
          </p>
          <p className="ui-help">
            It stays the same when the program starts again. Whoever has it can watch on this computer, and do
            nothing else; after another one was made, this one answers nobody.
          </p>
          <FailureNotice error={action.error} />
        </div>
      )}
      <PortField key={settings.port} port={settings.port} onChange={(port) => onChange({ port })} />
    </>
  );
}

function PortField({ port, onChange }: { readonly port: number; readonly onChange: (port: number) => void }) {
  const [typed, setTyped] = useState(String(port));
  const reading = readPort(typed);
  const isTaken = 'value' in reading && reading.value !== port;
  return (
    <form
      className="overlay-field"
      onSubmit={(event) => {
        event.preventDefault();
        if (isTaken) onChange(reading.value);
      }}
    >
      <QuantityField
        label="Port"
        typed={typed}
        onTyped={setTyped}
        parse={readPort}
        isRequired
        help="Another one only where this one is taken; the address changes with it."
      />
      <Button type="submit" isDisabled={!isTaken}>
        Use this port
      </Button>
    </form>
  );
}
