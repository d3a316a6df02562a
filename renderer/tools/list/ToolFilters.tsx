import { driveSizeSchema, toolClassSchema } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { supplySchema } from '../../../shared-lib/run-sheet/setup-model.ts';
import { SelectField } from '../../ui/SelectField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { classNames, driveNames, supplyNames } from '../tool-sentences.ts';
import type { FilterName, ToolFilter } from './tool-filter.ts';

/** The choice of a filter that is not set. */
const EVERY = 'every';

function optionsOf<Key extends string>(
  everyLabel: string,
  keys: Iterable<Key>,
  names: Readonly<Record<Key, string>>,
) {
  return [{ key: EVERY, label: everyLabel }, ...[...keys].map((key) => ({ key, label: names[key] }))];
}

const classOptions = optionsOf('Every class', toolClassSchema.values, classNames);
const driveOptions = optionsOf('Every drive', driveSizeSchema.values, driveNames);
const supplyOptions = optionsOf('Every supply', supplySchema.values, supplyNames);

interface ToolFiltersProps {
  readonly filter: ToolFilter;
  readonly unlistedCount: number;
  /** `isTyping`: the next change belongs to this one, so that going back does not go letter by letter. */
  readonly onChange: (name: FilterName, value: string | boolean | null, isTyping: boolean) => void;
}

export function ToolFilters({ filter, unlistedCount, onChange }: ToolFiltersProps) {
  const choose = (name: FilterName) => (key: string) => onChange(name, key === EVERY ? null : key, false);
  return (
    <div className="tool-filters" role="search" aria-label="Tools">
      <div className="tool-search">
        <TextField
          label="Search"
          value={filter.search}
          onChange={(search) => onChange('search', search, true)}
          placeholder="Name, maker, model, source or note"
          maxLength={200}
        />
      </div>
      <SelectField
        label="Class"
        options={classOptions}
        selected={filter.toolClass ?? EVERY}
        onSelect={choose('class')}
      />
      <SelectField
        label="Drive"
        options={driveOptions}
        selected={filter.driveSize ?? EVERY}
        onSelect={choose('drive')}
      />
      <SelectField
        label="Supply"
        options={supplyOptions}
        selected={filter.supply ?? EVERY}
        onSelect={choose('supply')}
      />
      <Checkbox isSelected={filter.isIncompleteOnly} onChange={(is) => onChange('incomplete', is, false)}>
        Something is missing
      </Checkbox>
      {unlistedCount === 0 && !filter.isAllShown ? null : (
        <Checkbox isSelected={filter.isAllShown} onChange={(is) => onChange('all', is, false)}>
          Archived and merged too ({unlistedCount})
        </Checkbox>
      )}
    </div>
  );
}
