import { type ReactNode, useRef } from 'react';
import { Button } from '../../ui/Button.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { useFocusWhenGone } from '../../ui/use-focus-when-gone.ts';

export interface ItemRow {
  readonly id: string;
  readonly name: string;
  readonly facts: string;
  readonly isArchived: boolean;
  readonly onChange: () => void;
  /** Takes it off the list, or puts it back. */
  readonly onArchive: () => void;
  /** Where putting it back is not what brings it back: why it is gone, and what does. */
  readonly gone?: { readonly words: string; readonly wayBack: ReactNode } | undefined;
}

interface ItemListProps {
  readonly title: string;
  readonly lead: string;
  readonly emptyWords: string;
  readonly addLabel: string;
  readonly rows: readonly ItemRow[];
  readonly onAdd: () => void;
  readonly isAddDisabled?: boolean;
}

export function ItemList({
  title,
  lead,
  emptyWords,
  addLabel,
  rows,
  onAdd,
  isAddDisabled = false,
}: ItemListProps) {
  const headingRef = useRef<HTMLHeadingElement>(null);
  // What takes an item off the list, and what brings one back, goes away with its row or what it was.
  const watch = useFocusWhenGone(() => headingRef.current);
  return (
    <Panel
      title={title}
      headingRef={headingRef}
      lead={lead}
      actions={
        <Button onPress={onAdd} isDisabled={isAddDisabled}>
          {addLabel}
        </Button>
      }
    >
      {rows.length === 0 ? (
        <p className="sheet-missing">{emptyWords}</p>
      ) : (
        <ul className="sheet-list" aria-label={title} {...watch}>
          {rows.map((row) => (
            <li key={row.id} className="sheet-row">
              <div className="sheet-row-text">
                <strong>{row.name}</strong>
                <span className="sheet-soft">
                  {row.gone?.words ?? (row.isArchived ? 'no longer listed' : row.facts)}
                </span>
              </div>
              <ActionRow>
                {row.isArchived ? null : (
                  <Button look="quiet" aria-label={`Change ${row.name}`} onPress={row.onChange}>
                    Change
                  </Button>
                )}
                {row.gone?.wayBack ?? (
                  <Button
                    look="quiet"
                    aria-label={row.isArchived ? `Put back ${row.name}` : `Take off the list: ${row.name}`}
                    onPress={row.onArchive}
                  >
                    {row.isArchived ? 'Put back' : 'Take off the list'}
                  </Button>
                )}
              </ActionRow>
            </li>
          ))}
        </ul>
      )}
    </Panel>
  );
}
