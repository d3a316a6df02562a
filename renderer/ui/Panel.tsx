import { useId, type ReactNode, type Ref } from 'react';
import './panel.css';
import { usePageTitle } from './use-page-title.ts';

export interface PanelProps {
  readonly title: string;
  /** One or two sentences under the title: what this is for. */
  readonly lead?: ReactNode;
  /** At the right of the title. */
  readonly actions?: ReactNode;
  readonly children: ReactNode;
  /** Where the heading takes the focus when a control of the panel is gone. */
  readonly headingRef?: Ref<HTMLHeadingElement>;
}

/** A titled section of a page; screen readers list it as a region. */
export function Panel({ title, lead, actions, children, headingRef }: PanelProps) {
  const titleId = useId();
  return (
    <section className="ui-panel" aria-labelledby={titleId}>
      <header className="ui-panel-head">
        <h2 id={titleId} {...(headingRef === undefined ? {} : { ref: headingRef, tabIndex: -1 })}>
          {title}
        </h2>
        {actions === undefined ? null : <div className="ui-panel-actions">{actions}</div>}
      </header>
      {lead === undefined ? null : <p className="ui-panel-lead">{lead}</p>}
      {children}
    </section>
  );
}

/** The scrolling page of a place at the desk (Calibrate, Logbook, Setup); its title is the page's only h1. */
export function Page({
  title,
  actions,
  children,
}: {
  readonly title: string;
  readonly actions?: ReactNode;
  readonly children: ReactNode;
}) {
  usePageTitle(title);
  return (
    <div className="ui-page">
      <header className="ui-page-head">
        <h1>{title}</h1>
        {actions === undefined ? null : <div className="ui-panel-actions">{actions}</div>}
      </header>
      {children}
    </div>
  );
}

/** Fields of a form side by side where there is room. */
export function FieldGrid({ children }: { readonly children: ReactNode }) {
  return <div className="ui-field-grid">{children}</div>;
}

/** Buttons under a form. */
export function ActionRow({ children }: { readonly children: ReactNode }) {
  return <div className="ui-action-row">{children}</div>;
}
