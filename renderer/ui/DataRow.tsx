import type { ReactNode } from 'react';
import './data-row.css';

/** A list of names and values; its children are `DataRow`s. */
export function DataList({ label, children }: { readonly label?: string; readonly children: ReactNode }) {
  return (
    <dl className="ui-data-list" {...(label === undefined ? {} : { 'aria-label': label })}>
      {children}
    </dl>
  );
}

export interface DataRowProps {
  readonly name: string;
  /** A value with its unit, figures tabular; or the reason why there is none. */
  readonly children: ReactNode;
  /** `figure`: a number, aligned at the right; `text`: words. */
  readonly kind?: 'figure' | 'text';
  readonly note?: ReactNode;
}

export function DataRow({ name, children, kind = 'text', note }: DataRowProps) {
  return (
    <div className={`ui-data-row ui-data-row-${kind}`}>
      <dt>{name}</dt>
      <dd>
        {children}
        {note === undefined ? null : <span className="ui-data-note">{note}</span>}
      </dd>
    </div>
  );
}
