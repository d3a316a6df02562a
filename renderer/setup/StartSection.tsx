import type { Settings } from '../../shared-lib/api-contract.ts';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Panel } from '../ui/Panel.tsx';
import { useSaveSettings } from './use-save-settings.ts';

export function StartSection({ settings }: { readonly settings: Settings }) {
  const { save, error } = useSaveSettings();
  const lastPath = settings.amplifier?.path;
  return (
    <Panel title="When the program starts">
      <ChoiceField
        label="Connect"
        choices={[
          { key: 'none', label: 'Nothing' },
          { key: 'serial', label: 'The amplifier' },
          { key: 'simulated', label: 'The simulated bench' },
        ]}
        selected={settings.connectAtStart}
        onSelect={(connectAtStart) => void save({ connectAtStart })}
        help={
          lastPath === undefined
            ? 'No amplifier has been connected yet.'
            : `The amplifier is the one at ${lastPath}.`
        }
      />
      <FailureNotice error={error} />
    </Panel>
  );
}
