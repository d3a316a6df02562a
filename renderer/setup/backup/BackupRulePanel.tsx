import { type BackupRule, backupRuleSchema } from '../../../shared-lib/backup/backup-requests.ts';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { FieldGrid, Panel } from '../../ui/Panel.tsx';
import { wholeNumberReader } from '../../ui/read-whole-number.ts';
import { Switch } from '../../ui/Toggles.tsx';
import { SavedTextField } from '../SavedTextField.tsx';
import { useDraft } from '../use-draft.ts';
import { useSaveSettings } from '../use-save-settings.ts';

const readDays = wholeNumberReader(1, 60, null);
const readWeeks = wholeNumberReader(0, 52, null);
const readMonths = wholeNumberReader(0, 120, null);

/** When backups are made by themselves, and how many of those stay. */
export function BackupRulePanel({ rule }: { readonly rule: BackupRule }) {
  const { save, error } = useSaveSettings();
  const change = (changes: Partial<BackupRule>): Promise<boolean> =>
    save({ backup: backupRuleSchema.parse({ ...rule, ...changes }) });
  return (
    <Panel
      title="By itself"
      lead="One a day while the program is open, never beside a trial. Those that you asked for stay until you take them away."
    >
      <Switch isSelected={rule.isDaily} onChange={(isDaily) => void change({ isDaily })}>
        A backup a day
      </Switch>
      <FieldGrid>
        <CountField
          label="Days of which one is kept"
          saved={rule.keepDays}
          parse={readDays}
          onSave={(keepDays) => change({ keepDays })}
        />
        <CountField
          label="Weeks of which one is kept"
          saved={rule.keepWeeks}
          parse={readWeeks}
          onSave={(keepWeeks) => change({ keepWeeks })}
        />
        <CountField
          label="Months of which one is kept"
          saved={rule.keepMonths}
          parse={readMonths}
          onSave={(keepMonths) => change({ keepMonths })}
        />
      </FieldGrid>
      <SavedTextField
        label="A second folder"
        saved={rule.alsoInFolder ?? ''}
        save={(folder) => change({ alsoInFolder: folder === '' ? null : folder })}
        error={error}
        help="Each backup goes there too, such as to another disk. A disk that breaks takes backups on it along."
        maxLength={1000}
      />
      <FailureNotice error={error} />
    </Panel>
  );
}

interface CountFieldProps {
  readonly label: string;
  readonly saved: number;
  readonly parse: ReturnType<typeof wholeNumberReader>;
  readonly onSave: (count: number) => Promise<boolean>;
}

function CountField({ label, saved, parse, onSave }: CountFieldProps) {
  const draft = useDraft(String(saved));
  const saveIfChanged = async (): Promise<void> => {
    const read = parse(draft.typed);
    if (draft.isChanged && 'value' in read && (await onSave(read.value))) draft.forget(draft.typed);
  };
  return (
    <QuantityField
      label={label}
      typed={draft.typed}
      onTyped={draft.onTyped}
      parse={parse}
      onBlur={() => void saveIfChanged()}
      isRequired
    />
  );
}
