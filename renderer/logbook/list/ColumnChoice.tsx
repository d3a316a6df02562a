import { Columns3 } from 'lucide-react';
import { Dialog, DialogTrigger, Popover } from 'react-aria-components';
import { Button } from '../../ui/Button.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { type ColumnKey, tableColumns } from './table-columns.ts';

interface ColumnChoiceProps {
  readonly hidden: ReadonlySet<ColumnKey>;
  readonly onHidden: (hidden: ReadonlySet<ColumnKey>) => void;
}

export function ColumnChoice({ hidden, onHidden }: ColumnChoiceProps) {
  const show = (key: ColumnKey, isShown: boolean) => {
    const next = new Set(hidden);
    if (isShown) next.delete(key);
    else next.add(key);
    onHidden(next);
  };
  return (
    <DialogTrigger>
      <Button>
        <Columns3 aria-hidden="true" size={18} />
        Columns
      </Button>
      <Popover className="logbook-columns" placement="bottom end">
        <Dialog aria-label="Columns that show">
          {tableColumns
            .filter(({ isAlwaysShown }) => isAlwaysShown !== true)
            .map(({ key, title }) => (
              <Checkbox key={key} isSelected={!hidden.has(key)} onChange={(isShown) => show(key, isShown)}>
                {title}
              </Checkbox>
            ))}
        </Dialog>
      </Popover>
    </DialogTrigger>
  );
}
