import type { ReactNode, RefObject } from 'react';
import { Button } from '../../ui/Button.tsx';
import { ActionRow } from '../../ui/Panel.tsx';

interface FormLinesProps {
  readonly title: string;
  readonly lead: string;
  readonly columns: readonly { readonly title: string; readonly isNumber?: boolean }[];
  /** Rows of the table, with what is being filled in among them. */
  readonly children: ReactNode;
  readonly isEmpty: boolean;
  readonly addLabel: string;
  readonly onAdd: () => void;
  readonly isFull: boolean;
  readonly mostWords: string;
  readonly sectionRef: RefObject<HTMLElement | null>;
}

/** A small table inside a form: lines are read as text, and become fields where one is changed. */
export function FormLines(props: FormLinesProps) {
  const { title, lead, columns, children, isEmpty, addLabel, onAdd, isFull, mostWords, sectionRef } = props;
  return (
    <section className="tool-lines" aria-label={title} ref={sectionRef} tabIndex={-1}>
      <div>
        <h3>{title}</h3>
        <p className="tool-soft">{lead}</p>
      </div>
      {isEmpty ? null : (
        <div className="figure-table-frame">
          <table className="figure-table" aria-label={title}>
            <thead>
              <tr>
                {columns.map((column) => (
                  <th
                    key={column.title}
                    scope="col"
                    {...(column.isNumber === true ? { className: 'figure-table-number' } : {})}
                  >
                    {column.title}
                  </th>
                ))}
                <th scope="col">
                  <span className="visually-hidden">Actions</span>
                </th>
              </tr>
            </thead>
            <tbody>{children}</tbody>
          </table>
        </div>
      )}
      <ActionRow>
        <Button onPress={onAdd} isDisabled={isFull}>
          {addLabel}
        </Button>
        {isFull ? <span className="tool-soft">{mostWords}</span> : null}
      </ActionRow>
    </section>
  );
}

interface LineActionsProps {
  /** "claim 2", for screen readers. */
  readonly name: string;
  readonly onChange: () => void;
  readonly onRemove: () => void;
}

export function LineActions({ name, onChange, onRemove }: LineActionsProps) {
  return (
    <td className="tool-line-actions">
      <Button look="quiet" aria-label={`Change ${name}`} onPress={onChange}>
        Change
      </Button>
      <Button look="quiet" aria-label={`Remove ${name}`} onPress={onRemove}>
        Remove
      </Button>
    </td>
  );
}

interface OpenLineProps {
  readonly name: string;
  readonly columnCount: number;
  readonly onDone: () => void;
  readonly onRemove: () => void;
  readonly children: ReactNode;
}

/** The fields of one line, across the whole table. */
export function OpenLine({ name, columnCount, onDone, onRemove, children }: OpenLineProps) {
  return (
    <tr>
      <td colSpan={columnCount + 1}>
        <div className="tool-open-line" role="group" aria-label={name}>
          {children}
          <div className="tool-open-line-actions">
            <Button aria-label={`Done with ${name}`} onPress={onDone}>
              Done
            </Button>
            <Button look="quiet" aria-label={`Remove ${name}`} onPress={onRemove}>
              Remove
            </Button>
          </div>
        </div>
      </td>
    </tr>
  );
}
