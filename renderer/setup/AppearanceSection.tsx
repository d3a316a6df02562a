import type { Settings } from '../../shared-lib/api-contract.ts';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Panel } from '../ui/Panel.tsx';
import { useSaveSettings } from './use-save-settings.ts';

export function AppearanceSection({ settings }: { readonly settings: Settings }) {
  const { save, error } = useSaveSettings();
  return (
    <Panel title="Units and theme">
      <ChoiceField
        label="Torque is shown in"
        choices={[
          { key: 'Nm', label: 'N·m' },
          { key: 'ftLbf', label: 'ft·lbf' },
        ]}
        selected={settings.torqueUnit}
        onSelect={(torqueUnit) => void save({ torqueUnit })}
        help="Everywhere at once. It is stored in N·m whichever is shown."
      />
      <ChoiceField
        label="Theme"
        choices={[
          { key: 'system', label: 'As the system' },
          { key: 'light', label: 'Light' },
          { key: 'dark', label: 'Dark' },
          { key: 'sunlight', label: 'Sunlight' },
        ]}
        selected={settings.theme}
        onSelect={(theme) => void save({ theme })}
        help="Sunlight is light with all the contrast there is, for daylight on the screen."
      />
      <FailureNotice error={error} />
    </Panel>
  );
}
