import { Button } from '../../ui/Button.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import '../../ui/state-shape.css';

export interface StandardRow {
  readonly id: string;
  readonly name: string;
  readonly facts: string;
  /** Null where such a thing has none. */
  readonly certificate: { readonly words: string; readonly isOutOfDate: boolean } | null;
  readonly onChange: () => void;
  readonly onRemove: () => void;
}

export interface StandardListProps {
  readonly title: string;
  readonly lead: string;
  readonly emptyWords: string;
  readonly addLabel: string;
  readonly rows: readonly StandardRow[];
  readonly onAdd: () => void;
}

export function StandardList({ title, lead, emptyWords, addLabel, rows, onAdd }: StandardListProps) {
  return (
    <Panel title={title} lead={lead} actions={<Button onPress={onAdd}>{addLabel}</Button>}>
      {rows.length === 0 ? (
        <p className="standards-missing">{emptyWords}</p>
      ) : (
        <ul className="standards-list" aria-label={title}>
          {rows.map((row) => (
            <li key={row.id} className="standards-row">
              <div className="standards-text">
                <strong>{row.name}</strong>
                <span className="standards-facts">{row.facts}</span>
                {row.certificate === null ? null : (
                  <span className={row.certificate.isOutOfDate ? 'standards-late' : 'standards-facts'}>
                    {row.certificate.isOutOfDate ? <StateShape shape="caution" /> : null}
                    {row.certificate.words}
                  </span>
                )}
              </div>
              <ActionRow>
                <Button look="quiet" aria-label={`Change ${row.name}`} onPress={row.onChange}>
                  Change
                </Button>
                <Button look="quiet" aria-label={`Remove ${row.name}`} onPress={row.onRemove}>
                  Remove
                </Button>
              </ActionRow>
            </li>
          ))}
        </ul>
      )}
    </Panel>
  );
}
