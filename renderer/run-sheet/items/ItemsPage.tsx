import { useState } from 'react';
import type { Tool } from '../../../shared-lib/run-sheet/setup-model.ts';
import { useAction } from '../../api-client/use-action.ts';
import { Checkbox } from '../../ui/Toggles.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { UndoMerge } from '../../tools/merge/UndoMerge.tsx';
import { useCatalogue } from '../../tools/use-catalogue.ts';
import { PreparationPage } from '../PreparationPage.tsx';
import { DemoItems } from './DemoItems.tsx';
import { type Editing, ItemEditor } from './ItemEditor.tsx';
import { ItemList, type ItemRow } from './ItemList.tsx';
import { mergedWords, packWords, setupName, setupWords, toolWords } from './item-sentences.ts';
import { type BenchItem, useBenchItems } from './use-bench-items.ts';

/** Tools, packs and the setups made of them: entered once, used by every run sheet after that. */
export function ItemsPage() {
  const { items, error, save } = useBenchItems();
  const catalogue = useCatalogue();
  const [editing, setEditing] = useState<Editing | null>(null);
  const [isAllShown, setIsAllShown] = useState(false);
  const action = useAction();
  if (items === null) {
    return (
      <PreparationPage title="Tools, packs and setups">
        <FailureNotice error={error} />
      </PreparationPage>
    );
  }
  const isShown = ({ isArchived }: { readonly isArchived: boolean }) => isAllShown || !isArchived;
  const hasArchived = [...items.tools, ...items.packs, ...items.setups].some(({ isArchived }) => isArchived);
  const put = (item: BenchItem) => void action.run(() => save(item));
  // A merged tool beside the one that it counts to would be two; it comes back by undoing the merge.
  const goneBy = (tool: Tool): ItemRow['gone'] => {
    const entry = catalogue.result?.tools.find(({ tool: { id } }) => id === tool.id);
    const into = items.tools.find(({ id }) => id === entry?.mergedIntoToolId);
    if (!tool.isArchived || into === undefined) return undefined;
    return { words: mergedWords(into), wayBack: <UndoMerge from={tool} /> };
  };
  const add = (kind: Editing['kind']) => setEditing({ kind, id: crypto.randomUUID(), item: null });

  return (
    <PreparationPage title="Tools, packs and setups">
      <FailureNotice error={error ?? action.error ?? catalogue.error} />
      <DemoItems items={items} save={save} />
      {hasArchived ? (
        <Checkbox isSelected={isAllShown} onChange={setIsAllShown}>
          Show what is no longer listed
        </Checkbox>
      ) : null}
      <ItemList
        title="Tools"
        lead="What is tested. Trials keep a copy of how a tool was named when they were pulled."
        emptyWords="No tool yet."
        addLabel="Add a tool"
        rows={items.tools.filter(isShown).map((tool) => ({
          id: tool.id,
          name: tool.name,
          facts: toolWords(tool),
          isArchived: tool.isArchived,
          gone: goneBy(tool),
          onChange: () => setEditing({ kind: 'tool', id: tool.id, item: tool }),
          onArchive: () => put({ kind: 'tool', tool: { ...tool, isArchived: !tool.isArchived } }),
        }))}
        onAdd={() => add('tool')}
      />
      <ItemList
        title="Packs"
        lead="Batteries, each by itself: a tired one is found only if it can be told from its twin."
        emptyWords="No pack yet. Tools on mains or air need none."
        addLabel="Add a pack"
        rows={items.packs.filter(isShown).map((pack) => ({
          id: pack.id,
          name: pack.name,
          facts: packWords(pack),
          isArchived: pack.isArchived,
          onChange: () => setEditing({ kind: 'pack', id: pack.id, item: pack }),
          onArchive: () => put({ kind: 'pack', pack: { ...pack, isArchived: !pack.isArchived } }),
        }))}
        onAdd={() => add('pack')}
      />
      <ItemList
        title="Setups"
        lead="A tool as it is pulled: with its pack, its setting and its socket. Another pack is another setup."
        emptyWords="No setup yet. A run sheet is made from setups."
        addLabel="Add a setup"
        isAddDisabled={!items.tools.some(({ isArchived }) => !isArchived)}
        rows={items.setups.filter(isShown).map((setup) => ({
          id: setup.id,
          name: setupName(setup, items),
          facts: setupWords(setup),
          isArchived: setup.isArchived,
          onChange: () => setEditing({ kind: 'setup', id: setup.id, item: setup }),
          onArchive: () => put({ kind: 'setup', setup: { ...setup, isArchived: !setup.isArchived } }),
        }))}
        onAdd={() => add('setup')}
      />
      {editing === null ? null : (
        <ItemEditor
          key={editing.id}
          editing={editing}
          items={items}
          save={save}
          onClose={() => setEditing(null)}
        />
      )}
    </PreparationPage>
  );
}
