import type { Settings } from '../../shared-lib/api-contract.ts';
import { currencySchema } from '../../shared-lib/catalogue/catalogue-model.ts';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { FieldGrid, Panel } from '../ui/Panel.tsx';
import { TextField } from '../ui/TextField.tsx';
import { Switch } from '../ui/Toggles.tsx';
import { SavedTextField } from './SavedTextField.tsx';
import { useDraft } from './use-draft.ts';
import { useSaveSettings } from './use-save-settings.ts';

const LONGEST_WORDS = 200;

/** What belongs to the catalogue of tools: the usual currency, and what a handling rating means here. */
export function ToolsSection({ settings }: { readonly settings: Settings }) {
  return (
    <Panel
      title="Tools and handling"
      lead="Handling is a judgement from 1 to 10. What the numbers mean is yours to say; your words stand beside the scale wherever it is asked."
    >
      <CurrencyField settings={settings} />
      <ScaleFields settings={settings} />
      <BlindSwitch settings={settings} />
    </Panel>
  );
}

function CurrencyField({ settings }: { readonly settings: Settings }) {
  const { save, error } = useSaveSettings();
  const draft = useDraft(settings.currency);
  const reading = currencySchema.safeParse(draft.typed.trim().toUpperCase());
  const saveIfChanged = async () => {
    if (draft.isChanged && reading.success && (await save({ currency: reading.data })))
      draft.forget(draft.typed);
  };
  return (
    <TextField
      label="Currency"
      value={draft.typed}
      onChange={draft.onTyped}
      onBlur={() => void saveIfChanged()}
      onEnter={() => void saveIfChanged()}
      help="In which prices are meant that are entered without one. Prices entered before keep theirs."
      problem={reading.success ? (error?.message ?? null) : 'Three letters, such as EUR.'}
      maxLength={3}
      isRequired
    />
  );
}

const steps = [
  { key: 'one', label: 'What 1 means', placeholder: 'such as: hurts within a minute' },
  { key: 'five', label: 'What 5 means', placeholder: 'such as: an hour is no trouble' },
  { key: 'ten', label: 'What 10 means', placeholder: 'such as: all day, one-handed' },
] as const;

function ScaleFields({ settings: { handlingScale } }: { readonly settings: Settings }) {
  const { save, error } = useSaveSettings();
  return (
    <FieldGrid>
      {steps.map(({ key, label, placeholder }) => (
        <SavedTextField
          key={key}
          label={label}
          saved={handlingScale[key]}
          save={(words) => save({ handlingScale: { ...handlingScale, [key]: words } })}
          error={error}
          placeholder={placeholder}
          maxLength={LONGEST_WORDS}
        />
      ))}
    </FieldGrid>
  );
}

function BlindSwitch({ settings }: { readonly settings: Settings }) {
  const { save, error } = useSaveSettings();
  const { ratesHandlingBlind, operator } = settings;
  return (
    <>
      <Switch isSelected={ratesHandlingBlind} onChange={(isOn) => void save({ ratesHandlingBlind: isOn })}>
        Ask for handling before figures are shown
      </Switch>
      <p className="setup-aside">
        After the first kept run of a tool that the operator has not rated, the Bench asks for the rating and
        shows the figures afterwards. It takes an answer more for each tool; “Not now” is one.
        {ratesHandlingBlind && operator.trim() === ''
          ? ' A rating belongs to somebody: as long as no operator is named below, nothing is asked.'
          : ''}
      </p>
      <FailureNotice error={error} />
    </>
  );
}
