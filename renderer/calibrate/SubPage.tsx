import type { ReactNode } from 'react';
import { LinkButton } from '../ui/LinkButton.tsx';
import { Page } from '../ui/Panel.tsx';
import { calibrateAddresses } from './calibrate-addresses.ts';

interface SubPageProps {
  readonly title: string;
  readonly actions?: ReactNode;
  readonly children: ReactNode;
}

/** A part of Calibrate with the way back to its overview. */
export function SubPage({ title, actions, children }: SubPageProps) {
  return (
    <Page
      title={title}
      actions={
        <>
          {actions}
          <LinkButton href={calibrateAddresses.overview} look="quiet">
            All of Calibrate
          </LinkButton>
        </>
      }
    >
      {children}
    </Page>
  );
}
