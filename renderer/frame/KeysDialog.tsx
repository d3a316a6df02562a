import { Keyboard } from 'react-aria-components';
import { Button } from '../ui/Button.tsx';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { Dialog } from '../ui/Dialog.tsx';
import { Switch } from '../ui/Toggles.tsx';
import { places } from './places.ts';
import { switchLetterKeys, useAreLetterKeysOn } from './use-letter-keys.ts';
import './keys-dialog.css';

export interface KeysDialogProps {
  readonly isOpen: boolean;
  readonly onClose: () => void;
}

export function KeysDialog({ isOpen, onClose }: KeysDialogProps) {
  const areLetterKeysOn = useAreLetterKeysOn();
  return (
    <Dialog title="Keys" isOpen={isOpen} onClose={onClose} actions={<Button onPress={onClose}>Close</Button>}>
      <DataList label="Keys">
        <KeyRow name="On the Bench: the next right thing" keys={['Space', 'Enter', 'Page Down']} />
        <KeyRow name="On the Bench: stop recording (hold)" keys={['Space', 'Escape']} />
        <KeyRow name="On the Bench: zero now" keys={['Z']} />
        <KeyRow
          name="On the Bench: keep a run that ended early, and say what ended it"
          keys={['1', '2', '3']}
        />
        <KeyRow name="While weights are hung: take it, or done" keys={['Space', 'Enter', 'Page Down']} />
        <KeyRow name="While weights are hung: take the last one again" keys={['R']} />
        <KeyRow name="While weights are hung: pause" keys={['P']} />
        <KeyRow name="In the Logbook: open, pick, copy a trial" keys={['Enter', 'Space', 'Ctrl C']} />
        <KeyRow name="At a stored curve: move the cursor, select" keys={['← →', 'Shift ← →']} />
        {places.map(({ name, key }) => (
          <KeyRow key={key} name={`Go to ${name}`} keys={[key.toUpperCase()]} />
        ))}
        <KeyRow name="Other torque unit, everywhere" keys={['U']} />
        <KeyRow name="This list" keys={['?']} />
      </DataList>
      <p>
        A foot switch that types Space, Enter or Page Down works as it is. One press goes on; a stop takes a
        hold of 0.6 s. Keys do nothing while you type in a field.
      </p>
      <Switch isSelected={areLetterKeysOn} onChange={switchLetterKeys}>
        Single letter keys
      </Switch>
    </Dialog>
  );
}

function KeyRow({ name, keys }: { readonly name: string; readonly keys: readonly string[] }) {
  return (
    <DataRow name={name}>
      <span className="keys-row">
        {keys.map((key) => (
          <Keyboard key={key} className="keys-key">
            {key}
          </Keyboard>
        ))}
      </span>
    </DataRow>
  );
}
