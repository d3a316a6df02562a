import { qualityGateSchema } from '../../../shared-lib/run-sheet/session-model.ts';
import { gateNames, gateSentence } from '../../../shared-lib/run-sheet/session-words.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FieldGrid, Panel } from '../../ui/Panel.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { classLabel, driveWords, supplyLabel } from '../../../shared-lib/standings/words/measure-words.ts';
import { driveSizes, supplies, type TableForm, toggled, toolClasses } from './table-form.ts';

const gates = qualityGateSchema.def.values.map((key) => ({ key, label: gateNames[key] }));
const origins = [
  { key: 'real', label: 'Real trials' },
  { key: 'simulated', label: 'Simulated trials' },
] as const;

const benchChoices = [
  { key: 'one', label: 'One bench' },
  { key: 'several', label: 'Several benches' },
] as const;

interface TableFieldsProps {
  readonly form: TableForm;
  readonly schemes: readonly { readonly schemeId: string; readonly name: string; readonly note: string }[];
  readonly onChange: (part: Partial<TableForm>) => void;
}

export function TableFields({ form, schemes, onChange }: TableFieldsProps) {
  return (
    <>
      <Panel title="What it is">
        <FieldGrid>
          <TextField
            label="Name"
            value={form.name}
            onChange={(name) => onChange({ name, isNameSuggested: false })}
            maxLength={80}
            isRequired
          />
          <SelectField
            label="Scheme"
            options={schemes.map(({ schemeId, name, note }) => ({
              key: schemeId,
              label: name,
              ...(note === '' ? {} : { note }),
            }))}
            selected={form.schemeId}
            onSelect={(schemeId) => onChange({ schemeId })}
            help="The rules by which tools get points; always their newest version"
          />
          <TextField
            label="Currency of prices"
            value={form.currency}
            onChange={(currency) => onChange({ currency })}
            maxLength={3}
            help="Prices in another one are converted by the rates noted in Tools"
            isRequired
          />
        </FieldGrid>
      </Panel>
      <Panel
        title="Whom it takes in"
        lead="Where nothing is picked in a group, everything of it is taken in."
      >
        <Checks
          title="Classes of tools"
          all={toolClasses}
          words={classLabel}
          picked={form.toolClasses}
          onPick={(picked) => onChange({ toolClasses: picked })}
        />
        <Checks
          title="Drives"
          all={driveSizes}
          words={(size) => driveWords[size]}
          picked={form.driveSizes}
          onPick={(picked) => onChange({ driveSizes: picked })}
        />
        <Checks
          title="Supply"
          all={supplies}
          words={supplyLabel}
          picked={form.supplies}
          onPick={(picked) => onChange({ supplies: picked })}
        />
      </Panel>
      <Panel title="Which trials count">
        <div className="standings-fields">
          <ChoiceField
            label="Where they come from"
            choices={origins}
            selected={form.isSimulated ? 'simulated' : 'real'}
            onSelect={(origin) => onChange({ isSimulated: origin === 'simulated' })}
            help="A table has either, never both"
          />
          <SelectField
            label="By their quality"
            options={gates}
            selected={form.gate}
            onSelect={(gate) => onChange({ gate })}
            help={gateSentence(form.gate)}
          />
          <ChoiceField
            label="Pulled on"
            choices={benchChoices}
            selected={form.benches}
            onSelect={(benches) => onChange({ benches })}
            help="Several only with the stated uncertainty of each calibration, which widens the ranges of places. How rigs differ under blows is not in it"
          />
        </div>
      </Panel>
    </>
  );
}

interface ChecksProps<Key extends string> {
  readonly title: string;
  readonly all: readonly Key[];
  readonly words: (key: Key) => string;
  readonly picked: readonly Key[];
  readonly onPick: (picked: Key[]) => void;
}

function Checks<Key extends string>({ title, all, words, picked, onPick }: ChecksProps<Key>) {
  return (
    <fieldset className="standings-checks">
      <legend>{title}</legend>
      <div className="standings-check-row">
        {all.map((key) => (
          <Checkbox
            key={key}
            isSelected={picked.includes(key)}
            onChange={(isPicked) => onPick(toggled(all, picked, key, isPicked))}
          >
            {words(key)}
          </Checkbox>
        ))}
      </div>
    </fieldset>
  );
}
