import type { ReactNode } from 'react';
import './empty-state.css';

export interface EmptyStateProps {
  /** What will be here. */
  readonly title: string;
  readonly children: ReactNode;
  /** The one action that fills it (at most two ways). */
  readonly actions: ReactNode;
}

/** An empty place teaches: it says what will be here and offers what fills it. */
export function EmptyState({ title, children, actions }: EmptyStateProps) {
  return (
    <div className="ui-empty">
      <h2>{title}</h2>
      <div className="ui-empty-text">{children}</div>
      <div className="ui-empty-actions">{actions}</div>
    </div>
  );
}
