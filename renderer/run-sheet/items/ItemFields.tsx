import type { Supply } from '../../../shared-lib/run-sheet/setup-model.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { itemReaders, NO_PACK, type PackForm, type SetupForm, type ToolForm } from './item-form.ts';
import type { BenchItems } from './use-bench-items.ts';

interface FieldsProps<Form> {
  readonly form: Form;
  readonly onChange: (part: Partial<Form>) => void;
}

const supplies = [
  { key: 'battery', label: 'Battery' },
  { key: 'mains', label: 'Mains' },
  { key: 'air', label: 'Air' },
  { key: 'hand', label: 'By hand' },
] as const satisfies readonly { key: Supply; label: string }[];

export function ToolFields({ form, onChange }: FieldsProps<ToolForm>) {
  return (
    <>
      <TextField
        label="Name"
        value={form.name}
        onChange={(name) => onChange({ name })}
        help="As it is to stand beside its figures"
        maxLength={80}
        isRequired
        autoFocus
      />
      <ChoiceField
        label="Supply"
        choices={supplies}
        selected={form.supply}
        onSelect={(supply) => onChange({ supply })}
      />
      <FieldGrid>
        <QuantityField
          label="Declared vibration"
          typed={form.vibration}
          onTyped={(vibration) => onChange({ vibration })}
          parse={itemReaders.vibration}
          placeholder="such as 12.5 m/s²"
          help="Total value from its manual; trigger time then counts as exposure points"
        />
        <QuantityField
          label="Declared noise, dB(A)"
          typed={form.noise}
          onTyped={(noise) => onChange({ noise })}
          parse={itemReaders.noise}
          placeholder="such as 98"
          help="Sound pressure level at the ear, from its manual"
        />
      </FieldGrid>
    </>
  );
}

export function PackFields({ form, onChange }: FieldsProps<PackForm>) {
  return (
    <>
      <TextField
        label="Name"
        value={form.name}
        onChange={(name) => onChange({ name })}
        placeholder="such as Pack 2"
        help="As it is marked on the pack: two packs of one type are two packs"
        maxLength={80}
        isRequired
        autoFocus
      />
      <FieldGrid>
        <QuantityField
          label="Nominal voltage, V"
          typed={form.voltage}
          onTyped={(voltage) => onChange({ voltage })}
          parse={itemReaders.voltage}
          placeholder="such as 18"
        />
        <QuantityField
          label="Capacity, Ah"
          typed={form.capacity}
          onTyped={(capacity) => onChange({ capacity })}
          parse={itemReaders.capacity}
          placeholder="such as 5"
        />
      </FieldGrid>
    </>
  );
}

export function SetupFields({
  form,
  onChange,
  items,
}: FieldsProps<SetupForm> & { readonly items: BenchItems }) {
  const tools = items.tools.filter(({ id, isArchived }) => !isArchived || id === form.toolId);
  const packs = items.packs.filter(({ id, isArchived }) => !isArchived || id === form.packId);
  return (
    <>
      <FieldGrid>
        <SelectField
          label="Tool"
          options={tools.map(({ id, name }) => ({ key: id, label: name }))}
          selected={form.toolId}
          onSelect={(toolId) => onChange({ toolId })}
        />
        <SelectField
          label="Pack"
          options={[
            { key: NO_PACK, label: 'None' },
            ...packs.map(({ id, name }) => ({ key: id, label: name })),
          ]}
          selected={form.packId}
          onSelect={(packId) => onChange({ packId })}
        />
        <TextField
          label="Setting"
          value={form.setting}
          onChange={(setting) => onChange({ setting })}
          placeholder="such as speed 3"
          help="Speed, mode or clutch, as the tool names it"
          maxLength={80}
        />
      </FieldGrid>
      <FieldGrid>
        <TextField
          label="Socket, adapter, extension"
          value={form.socketName}
          onChange={(socketName) => onChange({ socketName })}
          help="What turns with the anvil; impact-rated"
          maxLength={80}
        />
        <QuantityField
          label="Its mass"
          typed={form.socketMass}
          onTyped={(socketMass) => onChange({ socketMass })}
          parse={itemReaders.mass}
          placeholder="such as 300 g"
        />
        <QuantityField
          label="Its length"
          typed={form.socketLength}
          onTyped={(socketLength) => onChange({ socketLength })}
          parse={itemReaders.length}
          placeholder="such as 50 mm"
        />
      </FieldGrid>
    </>
  );
}
