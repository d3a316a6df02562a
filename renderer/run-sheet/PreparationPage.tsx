import type { ReactNode } from 'react';
import { LinkButton } from '../ui/LinkButton.tsx';
import { Page } from '../ui/Panel.tsx';
import { runSheetAddresses } from './run-sheet-addresses.ts';

interface PreparationPageProps {
  readonly title: string;
  /** The page that this one belongs to, unless it is the list of run sheets itself. */
  readonly isList?: boolean;
  readonly actions?: ReactNode;
  readonly children: ReactNode;
}

/** A page of preparing a day at the bench, with its way back. */
export function PreparationPage({ title, isList = false, actions, children }: PreparationPageProps) {
  return (
    <Page
      title={title}
      actions={
        <>
          {actions}
          {isList ? (
            <LinkButton href="/bench" look="quiet">
              Back to the Bench
            </LinkButton>
          ) : (
            <LinkButton href={runSheetAddresses.sheets} look="quiet">
              All run sheets
            </LinkButton>
          )}
        </>
      }
    >
      {children}
    </Page>
  );
}
