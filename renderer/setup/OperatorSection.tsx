import type { Settings } from '../../shared-lib/api-contract.ts';
import { Panel } from '../ui/Panel.tsx';
import { SavedTextField } from './SavedTextField.tsx';
import { useSaveSettings } from './use-save-settings.ts';

export function OperatorSection({ settings }: { readonly settings: Settings }) {
  const { save, error } = useSaveSettings();
  return (
    <Panel title="Operator" lead="Stands beside every decision from now on: kept, voided, calibrated.">
      <SavedTextField
        label="Name or initials"
        saved={settings.operator}
        save={(operator) => save({ operator })}
        error={error}
        maxLength={80}
      />
    </Panel>
  );
}
