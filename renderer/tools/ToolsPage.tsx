import type { ReactNode } from 'react';
import { LinkButton } from '../ui/LinkButton.tsx';
import { Page } from '../ui/Panel.tsx';
import { toolsAddresses } from './tools-addresses.ts';

interface ToolsPageProps {
  readonly title: string;
  readonly actions?: ReactNode;
  readonly children: ReactNode;
}

/** A page of the place below its list, with the way back. */
export function ToolsPage({ title, actions, children }: ToolsPageProps) {
  return (
    <Page
      title={title}
      actions={
        <>
          {actions}
          <LinkButton href={toolsAddresses.list} look="quiet">
            All tools
          </LinkButton>
        </>
      }
    >
      {children}
    </Page>
  );
}
