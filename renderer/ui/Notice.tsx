import type { ReactNode } from 'react';
import { StateShape } from './StateShape.tsx';
import './notice.css';
import './state-shape.css';

export type NoticeKind = 'fault' | 'caution' | 'information';

const words: Record<NoticeKind, string> = { fault: 'Fault', caution: 'Caution', information: 'Note' };

export interface NoticeProps {
  readonly kind: NoticeKind;
  /** What happened, what it means for the data, what to do next. */
  readonly children: ReactNode;
  readonly actions?: ReactNode;
  /** Speaks it when it appears: `alert` interrupts, `status` waits; left out for what stands there from the start. */
  readonly live?: 'alert' | 'status';
}

/** A message with word and shape beside its colour. */
export function Notice({ kind, children, actions, live }: NoticeProps) {
  return (
    <div className={`ui-notice ui-notice-${kind}`} {...(live === undefined ? {} : { role: live })}>
      <StateShape shape={kind} />
      <div className="ui-notice-text">
        <strong>{words[kind]}</strong> <span>{children}</span>
      </div>
      {actions === undefined ? null : <div className="ui-notice-actions">{actions}</div>}
    </div>
  );
}
