import {
  Button,
  Label,
  ListBox,
  ListBoxItem,
  Popover,
  Select,
  SelectValue,
  Text,
} from 'react-aria-components';
import { ChevronDown } from 'lucide-react';
import './fields.css';

export interface SelectOption<Key extends string> {
  readonly key: Key;
  readonly label: string;
  /** A second line, for instance an example of the line form. */
  readonly note?: string;
}

export interface SelectFieldProps<Key extends string> {
  readonly label: string;
  readonly isLabelHidden?: boolean;
  readonly options: readonly SelectOption<Key>[];
  readonly selected: Key | null;
  readonly onSelect: (key: Key) => void;
  readonly help?: string;
  /** What stands there while nothing is selected. */
  readonly placeholder?: string;
  readonly isDisabled?: boolean;
}

/** One of a longer list. For up to five choices `ChoiceField` shows them all at once. */
export function SelectField<Key extends string>({
  label,
  isLabelHidden = false,
  options,
  selected,
  onSelect,
  help,
  placeholder = 'Choose',
  isDisabled = false,
}: SelectFieldProps<Key>) {
  return (
    <Select
      className="ui-field"
      value={selected}
      onChange={(key) => {
        const option = options.find((candidate) => candidate.key === key);
        if (option !== undefined) {
          onSelect(option.key);
        }
      }}
      placeholder={placeholder}
      isDisabled={isDisabled}
      {...(isLabelHidden ? { 'aria-label': label } : {})}
    >
      {isLabelHidden ? null : <Label className="ui-label">{label}</Label>}
      <Button className="ui-select-button">
        <SelectValue>
          {({ defaultChildren, isPlaceholder }) =>
            isPlaceholder
              ? defaultChildren
              : (options.find(({ key }) => key === selected)?.label ?? placeholder)
          }
        </SelectValue>
        <ChevronDown aria-hidden="true" size={18} />
      </Button>
      {help === undefined ? null : (
        <Text slot="description" className="ui-help">
          {help}
        </Text>
      )}
      <Popover className="ui-select-list">
        <ListBox>
          {options.map((option) => (
            <ListBoxItem key={option.key} id={option.key} textValue={option.label} className="ui-select-item">
              <Text slot="label">{option.label}</Text>
              {option.note === undefined ? null : (
                <Text slot="description" className="ui-help">
                  {option.note}
                </Text>
              )}
            </ListBoxItem>
          ))}
        </ListBox>
      </Popover>
    </Select>
  );
}
