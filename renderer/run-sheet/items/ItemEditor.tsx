import type { Pack, Setup, Tool } from '../../../shared-lib/run-sheet/setup-model.ts';
import type { FormReading } from '../../ui/form-reader.ts';
import {
  emptyPackForm,
  emptyToolForm,
  packForm,
  type PackForm,
  readPackForm,
  readToolForm,
  toolForm,
  type ToolForm,
} from './item-form.ts';
import { setupName } from './item-sentences.ts';
import { ItemDialog } from './ItemDialog.tsx';
import { PackFields, ToolFields } from './ItemFields.tsx';
import { SetupEditor } from './SetupEditor.tsx';
import type { BenchItem, BenchItems } from './use-bench-items.ts';

/** `item` null: a new one. */
export type Editing =
  | { readonly kind: 'tool'; readonly id: string; readonly item: Tool | null }
  | { readonly kind: 'pack'; readonly id: string; readonly item: Pack | null }
  | { readonly kind: 'setup'; readonly id: string; readonly item: Setup | null };

interface ItemEditorProps {
  readonly editing: Editing;
  readonly items: BenchItems;
  readonly save: (item: BenchItem) => Promise<void>;
  readonly onClose: () => void;
}

export function ItemEditor({ editing, items, save, onClose }: ItemEditorProps) {
  const common = { title: editorTitle(editing, items), save, onClose };
  switch (editing.kind) {
    case 'tool':
      return (
        <ItemDialog<ToolForm>
          {...common}
          start={editing.item === null ? emptyToolForm : toolForm(editing.item)}
          read={(form) => asItem(readToolForm(form, editing.id), (tool) => ({ kind: 'tool', tool }))}
          fields={(form, onChange) => <ToolFields form={form} onChange={onChange} />}
        />
      );
    case 'pack':
      return (
        <ItemDialog<PackForm>
          {...common}
          start={editing.item === null ? emptyPackForm : packForm(editing.item)}
          read={(form) => asItem(readPackForm(form, editing.id), (pack) => ({ kind: 'pack', pack }))}
          fields={(form, onChange) => <PackFields form={form} onChange={onChange} />}
        />
      );
    case 'setup':
      return <SetupEditor {...common} id={editing.id} before={editing.item} items={items} />;
  }
}

function asItem<Value>(
  reading: FormReading<Value>,
  wrap: (value: Value) => BenchItem,
): FormReading<BenchItem> {
  return 'value' in reading ? { value: wrap(reading.value) } : reading;
}

function editorTitle(editing: Editing, items: BenchItems): string {
  if (editing.item === null) return `Add a ${editing.kind}`;
  return `Change “${editing.kind === 'setup' ? setupName(editing.item, items) : editing.item.name}”`;
}
